package study

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

func TestSmallTimesAreNotNothing(t *testing.T) {
	assert.Equal(t, "0 s", si.Seconds(0))
	assert.Equal(t, "less than 0.1 s", si.Seconds(0.02))
	assert.Equal(t, "0.1 s", si.Seconds(0.051))
	assert.Equal(t, "2 s", si.Seconds(2.04))
	r := &ReserveResult{RechargeIdle: answer.Of(si.Time(0)), RechargeOverrun: answer.Of(si.Time(0.003))}
	assert.Contains(t, r.rechargeWords(si.US), "made good at once at idle and in less than 0.1 s on the overrun")
	r.RechargeOverrun = answer.None[si.Time]()
	assert.Contains(t, r.rechargeWords(si.US), "not within")
}

// What is above the air outside is said to be; what is nothing to a gauge is nothing.
func TestAChamberAboveAmbient(t *testing.T) {
	assert.Equal(t, "0.0 inHg", chamber(-100, si.US))
	assert.Equal(t, "10.0 inHg", chamber(10*si.Vacuum(si.InchOfMercury), si.US))
	assert.Equal(t, "1.0 inHg above the air outside", chamber(-3386, si.US))
	assert.Equal(t, "3 kPa above the air outside", chamber(-3386, si.SI))
}

func TestEndsThatPrintAlikeAreOne(t *testing.T) {
	assert.Equal(t, "0.5 kPa", si.Spanned("0.5 kPa", "0.5 kPa"))
	assert.Equal(t, "0.5 kPa to 0.6 kPa", si.Spanned("0.5 kPa", "0.6 kPa"))
}
