package study

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim/scenario"
)

// Whatever an option can fail by has its few words for the screen.
func TestEveryCriterionHasItsWords(t *testing.T) {
	o := ChooseOption{Pump: true}
	o.judge(scenario.Choose{})
	assert.Len(t, o.findings, len(failing))
	for _, v := range o.findings {
		assert.NotEmpty(t, failing[v.criterion], v.criterion)
	}
}
