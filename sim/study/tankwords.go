package study

import (
	"fmt"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// filledFurther says that the stops begin from more vacuum than the running engine
// gives between them: filled on the overrun, made at idle.
func (r *ReserveResult) filledFurther() bool {
	return r.settings.FilledAt != sim.EngineIdle && r.settings.Engine == sim.EngineIdle
}

// steadyTankWords say what a tank does for stop after stop with the engine running as
// it did before them: nothing, for it holds no more than the engine gives.
func steadyTankWords(volume si.Volume, e sim.EngineState, u si.System) []string {
	if volume == 0 {
		return nil
	}
	where, gives := "in traffic at a steady idle", "the idle"
	if e != sim.EngineIdle {
		where, gives = "while the engine is on the overrun", "the overrun"
	}
	return []string{fmt.Sprintf("The %s tank changes nothing %s: it holds no more vacuum than %s gives. It counts when the engine stops.",
		tank(volume, u), where, gives)}
}
