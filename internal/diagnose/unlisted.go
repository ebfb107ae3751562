package diagnose

import (
	"context"
	"math"

	"gonum.org/v1/gonum/interp"

	"kneepoint/internal/portable"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// What is not in the list of faults can be anything. Half of it is taken to be a
// car one of whose figures, other than those that the listed faults move, is far
// from what is written of it; the other half are readings like a sound car's or
// like nothing at all.

// An unlistedFigure is a figure that can be far off. It has no name in an answer: it only
// says how a car can read that has none of the listed faults.
type unlistedFigure struct {
	figure string
	shift  func(c *sim.Config, factor float64)
	// more and less say in which directions a part can be wrong.
	more, less bool
}

// mostFactor is the factor by which a figure is off at most (estimate).
const mostFactor = 4

var unlistedFigures = []unlistedFigure{
	{"boost ratio", func(c *sim.Config, k float64) {
		c.Booster.Ratio = 1 + (c.Booster.Ratio-1)*si.Ratio(k)
	}, true, true},
	{"jump-in", func(c *sim.Config, k float64) { c.Booster.JumpIn *= si.Force(k) }, true, true},
	{"cut-in", func(c *sim.Config, k float64) { c.Booster.CutIn *= si.Force(k) }, true, true},
	{"return spring", func(c *sim.Config, k float64) {
		c.Booster.Spring *= si.Force(k)
		c.Booster.SpringRate *= si.Stiffness(k)
	}, true, true},
	{"air valve", func(c *sim.Config, k float64) { c.Booster.AirValve *= si.Area(k) }, false, true},
	{"vacuum valve", func(c *sim.Config, k float64) { c.Booster.VacuumValve *= si.Area(k) }, false, true},
	{"stroke", func(c *sim.Config, k float64) { c.Booster.Stroke *= si.Length(k) }, false, true},
	{"master cylinder's springs and friction", func(c *sim.Config, k float64) {
		c.Master.Spring *= si.Force(k)
		c.Master.SpringRate *= si.Stiffness(k)
		c.Master.Friction *= si.Force(k)
	}, true, false},
	{"brakes' take-up", func(c *sim.Config, k float64) {
		c.Front.TakeUp *= si.Volume(k)
		c.Rear.TakeUp *= si.Volume(k)
	}, true, true},
	{"brakes' give", func(c *sim.Config, k float64) {
		c.Front.Compliance *= si.Compliance(k)
		c.Rear.Compliance *= si.Compliance(k)
	}, true, true},
}

// unlistedBreakpoints are the logarithms of the factor, as shares of that of mostFactor, at
// which an unlistedFigure is simulated, unlistedLevels those at which it is weighed.
var unlistedBreakpoints = []float64{0.35, 0.7, 1}

const unlistedLevels = 8

// An unlistedCell is one figure off by one factor, with what every trial reads.
type unlistedCell struct {
	figure    string
	track     int // of the unlistedTracks
	factor    float64
	fromSound float64 // the gap to the sound car
	point
}

// An unlistedTrack is a figure with a direction, by the sign of the logarithm.
type unlistedTrack struct {
	unlistedFigure
	sign float64
}

func unlistedTracks() []unlistedTrack {
	var out []unlistedTrack
	for _, o := range unlistedFigures {
		if o.more {
			out = append(out, unlistedTrack{o, 1})
		}
		if o.less {
			out = append(out, unlistedTrack{o, -1})
		}
	}
	return out
}

// likeliestUnlisted returns the figure that is most likely far off, by which factor, and how
// likely that is.
func (p *posterior) likeliestUnlisted() (figure string, factor, share float64) {
	weights, logs := map[string]float64{}, map[string]float64{}
	for i := range p.hypotheses {
		h := &p.hypotheses[i]
		if h.class != unlistedClass {
			continue
		}
		weights[h.unlisted.figure] += h.weight
		logs[h.unlisted.figure] += h.weight * portable.Log(h.unlisted.factor)
		if weights[h.unlisted.figure] > share {
			figure, share = h.unlisted.figure, weights[h.unlisted.figure]
		}
	}
	return figure, portable.Exp(logs[figure] / share), share
}

func factorAt(share float64) float64 { return portable.Pow(mostFactor, share) }

// simulateUnlisted simulates the unlistedFigures of the scope and lays them out over their factors.
func (l *Library) simulateUnlisted(ctx context.Context) error {
	l.unlistedCells = nil
	if l.config.Booster.Kind == sim.BoosterNone {
		return nil
	}
	tracks := unlistedTracks()
	n := len(unlistedBreakpoints)
	points := make([]point, len(tracks)*n)
	var all []placed
	for i := range points {
		points[i].mean = notDone(len(l.trials))
		all = append(all, placed{&points[i], order{soundCar.off(i/n, unlistedBreakpoints[i%n]), l.which(func(t int) bool { return l.scope.figures[i/n](t) != noLook })}})
	}
	if err := l.carryOut(ctx, all, nil); err != nil {
		return err
	}
	for k, t := range tracks {
		even := l.interpolate(unlistedBreakpoints, points[k*n:(k+1)*n], 2*unlistedLevels)
		for i, within := range stepsOf(even) {
			at := t.sign * (float64(i) + 0.5) / unlistedLevels
			p := point{mean: within.middle, slope: make([][unknowns]float64, len(l.trials))}
			for j := range l.trials {
				p.slope[j] = l.sound.slope[j]
				p.slope[j][countNuisances] = withinStep * finite(within.high[j]-within.low[j])
			}
			l.unlistedCells = append(l.unlistedCells, unlistedCell{t.figure, k, factorAt(at), l.gap(&p, &l.sound), p})
		}
	}
	return nil
}

// interpolate returns outcomes at n+1 even places from 0 to 1, out of the sound car's
// at 0 and those found at breakpoints, without overshoot (Fritsch and Butland).
func (l *Library) interpolate(breakpoints []float64, found []point, n int) []outcomes {
	out := make([]outcomes, n+1)
	for i := range out {
		out[i] = make(outcomes, len(l.trials))
	}
	for t := range l.trials {
		x, y := []float64{0}, []float64{l.sound.mean[t]}
		for i, k := range breakpoints {
			if v := found[i].mean[t]; !math.IsNaN(v) {
				x, y = append(x, k), append(y, v)
			}
		}
		var curve interp.FritschButland
		known := !math.IsNaN(y[0]) && len(x) >= 3 && curve.Fit(x, y) == nil
		for i := range out {
			out[i][t] = math.NaN()
			if known {
				out[i][t] = curve.Predict(min(float64(i)/float64(n), x[len(x)-1]))
			}
		}
	}
	return out
}
