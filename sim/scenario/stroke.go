package scenario

import (
	"fmt"
	"math"

	"kneepoint/internal/verdict"
	"kneepoint/sim/si"
)

// strokeForAHardStop warns where the master cylinder comes to the end of its stroke
// before the line pressure that locks this car's first axle: small bores make an easy
// pedal, until the fluid runs out.
func (r *resolver) strokeForAHardStop() {
	config := &r.s.Config
	lock := verdict.RoadOf(config).FirstLock()
	if !lock.Line.Exists() {
		return
	}
	line := lock.Line.Value()
	share := math.Max(verdict.StrokeFor(config, line))
	if share <= 1 {
		return
	}
	const path = KeyMasterBore
	at, _ := r.in.placeOf(path)
	read, units := config.Master.Bore.String(), si.SI
	if set, ok := r.s.set[path]; ok {
		read, units = set.value.read(), r.system(set)
	}
	r.s.Warnings = append(r.s.Warnings, at.problem(path, read, fmt.Sprintf(
		"at least %s, or more stroke: at %s in the line, where %s, the circuits take %.0f %% of the stroke there is",
		si.Format(si.DimLength, boreAbove(float64(config.Master.Bore)*math.Sqrt(share)), units), si.Format(si.DimPressure, float64(line), units), lock.Axle.Lock(), 100*share)))
}

// boreAbove is a bore that is certainly no smaller when it is shown as a rule shows it.
func boreAbove(bore float64) float64 {
	const step = si.Inch / 100
	return math.Ceil(bore/step) * step
}
