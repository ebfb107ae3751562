package fit

import (
	"math"

	"kneepoint/internal/portable"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A habit is what a gauge makes of what happens: it reads too much, shows nothing for a
// while and then follows as a first-order lag, and its clock runs fast against the pedal's.
// Gauges of one dimension in one log share one.
type habit struct{ offset, delay, lag, clock float64 }

// habits are those of a log's gauges.
type habits map[si.Dimension]habit

// habitUnknown is an unknown that is a gauge's.
type habitUnknown struct {
	of        si.Dimension
	set       func(*habit, float64)
	large     float64 // change, in SI
	low, high float64
	tries     []float64
	says      string
}

var habitUnknowns = func() map[string]habitUnknown {
	out := map[string]habitUnknown{}
	for _, g := range []struct {
		of                        si.Dimension
		offset, delay, lag, clock string
		large, most               float64
	}{
		{si.DimVacuum, scenario.VacuumOffset, scenario.VacuumDelay, scenario.VacuumLag, scenario.VacuumClock, largeVacuum, mostOffset},
		{si.DimPressure, scenario.LineOffset, scenario.LineDelay, scenario.LineLag, scenario.LineClock, largeLine, mostLineOff},
	} {
		gauge := gaugeNames[g.of]
		out[g.offset] = habitUnknown{of: g.of, set: func(h *habit, v float64) { h.offset = v }, large: g.large, low: -g.most, high: g.most,
			tries: []float64{g.large / 5, -g.large / 5}, says: "what the " + gauge + " reads too much"}
		out[g.delay] = habitUnknown{of: g.of, set: func(h *habit, v float64) { h.delay = v }, large: 0.3, low: -mostDelay, high: mostDelay,
			tries: []float64{-0.8, -0.3, 0.1, 0.3, 0.8}, says: "how much later than the pedal's column the " + gauge + " shows what happens"}
		out[g.lag] = habitUnknown{of: g.of, set: func(h *habit, v float64) { h.lag = v }, large: 0.3, low: 0, high: mostDelay,
			tries: []float64{0.1, 0.4, 1}, says: "the time constant with which the " + gauge + " follows"}
		out[g.clock] = habitUnknown{of: g.of, set: func(h *habit, v float64) { h.clock = v }, large: 0.02, low: -mostClock, high: mostClock,
			tries: []float64{0.01, -0.01, 0.04, -0.04}, says: "the share by which the clock of the " + gauge + " runs fast against the pedal's"}
	}
	return out
}()

var gaugeNames = map[si.Dimension]string{si.DimVacuum: "vacuum gauge", si.DimPressure: "line gauge"}

const (
	mostDelay = 3.0 // s; a slower gauge shows no press
	mostClock = 0.1
)

// read takes the readings of all gauges at all points off a run, in the order of the points
// and of the gauges in each.
func (d *drive) read(t *sim.Trajectory, by habits) []float64 {
	from := float64(d.log.From())
	state := once(t)
	shown := make([]func(float64) float64, len(d.gauges))
	for k, g := range d.gauges {
		shown[k] = g.shown(t, by[g.dim], state)
	}
	out := make([]float64, len(d.log.Points)*len(d.gauges))
	for i := range d.log.Points {
		p := &d.log.Points[i]
		times := []float64{p.Time - from - p.Spread(), p.Time - from + p.Spread()}
		if p.Spread() == 0 {
			times = times[:1]
		}
		for _, at := range times {
			for k, show := range shown {
				out[i*len(shown)+k] += show(at) / float64(len(times))
			}
		}
	}
	return out
}

// once looks up the state of a run at a time, and only once for all gauges that are read then.
func once(t *sim.Trajectory) func(at float64) sim.State {
	last, s := math.NaN(), sim.State{}
	return func(at float64) sim.State {
		if at != last {
			last, s = at, t.At(si.Time(at))
		}
		return s
	}
}

// shown is what a gauge of a habit shows at a time.
func (g gauge) shown(t *sim.Trajectory, h habit, state func(at float64) sim.State) func(at float64) float64 {
	truly := func(at float64) float64 { return max(0, at/(1+h.clock)-h.delay) }
	if h.lag == 0 {
		return func(at float64) float64 { return g.of(state(truly(at))) + h.offset }
	}
	course, every := g.followed(t, h.lag)
	return func(at float64) float64 {
		x := truly(at) / every
		i := min(int(x), len(course)-2)
		share := min(x-float64(i), 1)
		return course[i] + share*(course[i+1]-course[i]) + h.offset
	}
}

// followed is what a first-order lag makes of a course, at equal intervals; between them the
// course is taken as straight, and the lag is exact.
func (g gauge) followed(t *sim.Trajectory, lag float64) (course []float64, every float64) {
	const finest, most = 0.02, 3000
	until := float64(t.Until())
	n := int(min(max(2, math.Ceil(until/finest)), most))
	every = until / float64(n)
	fades := portable.Exp(-every / lag)
	before := g.of(t.At(0))
	y := before
	course = append(course, y)
	for i := 1; i <= n; i++ {
		now := g.of(t.At(si.Time(every * float64(i))))
		behind := lag * (now - before) / every
		y = now - behind + (y-before+behind)*fades
		before = now
		course = append(course, y)
	}
	return course, every
}
