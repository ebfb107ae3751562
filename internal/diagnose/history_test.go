package diagnose

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim/scenario"
)

// What readings say does not hang on what the library was asked before.
func TestReadingsAreWeighedByThemselves(t *testing.T) {
	t.Parallel()
	l := library(t)
	at := func(takes float64) []scenario.Reading {
		for _, trial := range l.trials {
			if trial.Test() == scenario.Recharge {
				return []scenario.Reading{trial.Reading(takes)}
			}
		}
		return nil
	}
	first := weighed(t, l, at(30))
	weighed(t, l, at(20))
	weighed(t, l, at(25))
	again := weighed(t, l, at(30))
	assert.Equal(t, first.Unexplained, again.Unexplained)
	for i, s := range first.Suspects {
		assert.Equal(t, s.Fault, again.Suspects[i].Fault)
		assert.Equal(t, s.Probability, again.Suspects[i].Probability)
	}
}
