package diagnose

import (
	"context"
	"fmt"
	"math"

	"gonum.org/v1/gonum/interp"

	"kneepoint/internal/portable"
	"kneepoint/internal/verdict"
	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// What is not in the list of faults can be anything. Half of it is taken to be a car one of
// whose figures, other than those that the listed faults move, is far from what is written of it,
// or one with a fault that workshops know and the list does not have; the other half are readings
// like a sound car's or like nothing at all.

// An unlistedFigure is a figure that can be far off, or another fault. It has no name in an
// answer: it only says how a car can read that has none of the listed faults.
type unlistedFigure struct {
	figure string
	// shift puts the figure off by a factor, or the fault into the car; nil where it shows in
	// signs alone.
	shift func(c *sim.Config, factor float64)
	// has says whether a car has the part; nil of what all have.
	has func(c *sim.Config) bool
	// more and less say in which directions a figure can be wrong.
	more, less bool
	// whole is what it is in words, for what is there or not, in no degrees.
	whole string
	// shows are the signs that are not simulated, complaint what a driver says of it first.
	shows     []unlistedSign
	complaint scenario.Complaint
	// parked says that nobody should drive with it.
	parked bool
}

// An unlistedSign is a sign with the chance of a yes where the figure is far off (estimates).
type unlistedSign struct {
	test   scenario.Test
	axle   verdict.Axle // the sign of an axle
	chance float64
}

// mostFactor is the factor by which a figure is off at most (estimate).
const mostFactor = 4

// comesBack is the fluid that pads take more at most which something knocks back, in m³: as
// much as shoes far out of adjustment (estimate).
const comesBack = 8e-6

// saysFirst is the chance that a driver complains of what a fault in no list is felt as, where
// that is known (estimate).
const saysFirst = 0.7

// pumpedAway is the sign of pads and shoes that come back too far: pumping brings them near
// (common practice, no source).
var pumpedAway = []unlistedSign{{test: scenario.PumpUp, chance: 0.85}}

// runsOut is that of a circuit which lost its fluid; one whose seal turned over keeps it.
var runsOut = []unlistedSign{{test: scenario.FluidLevel, chance: 0.85}}

var unlistedFigures = []unlistedFigure{
	{figure: "boost ratio", shift: func(c *sim.Config, k float64) {
		c.Booster.Ratio = 1 + (c.Booster.Ratio-1)*si.Ratio(k)
	}, more: true, less: true},
	{figure: "jump-in", shift: func(c *sim.Config, k float64) { c.Booster.JumpIn *= si.Force(k) }, more: true, less: true},
	{figure: "cut-in", shift: func(c *sim.Config, k float64) { c.Booster.CutIn *= si.Force(k) }, more: true, less: true},
	{figure: "return spring", shift: func(c *sim.Config, k float64) {
		c.Booster.Spring *= si.Force(k)
		c.Booster.SpringRate *= si.Stiffness(k)
	}, more: true, less: true},
	{figure: "air valve", shift: func(c *sim.Config, k float64) { c.Booster.AirValve *= si.Area(k) }, less: true},
	{figure: "vacuum valve", shift: func(c *sim.Config, k float64) { c.Booster.VacuumValve *= si.Area(k) }, less: true},
	{figure: "stroke", shift: func(c *sim.Config, k float64) { c.Booster.Stroke *= si.Length(k) }, less: true},
	{figure: "master cylinder's springs and friction", shift: func(c *sim.Config, k float64) {
		c.Master.Spring *= si.Force(k)
		c.Master.SpringRate *= si.Stiffness(k)
		c.Master.Friction *= si.Force(k)
	}, more: true},
	{figure: "brakes' take-up", shift: func(c *sim.Config, k float64) {
		c.Front.TakeUp *= si.Volume(k)
		c.Rear.TakeUp *= si.Volume(k)
	}, more: true, less: true, shows: pumpedAway},
	{figure: "front pads' take-up", has: func(c *sim.Config) bool { return !c.Car.FrontBrake.Kind.IsDrum() },
		shift: func(c *sim.Config, k float64) {
			c.Front.TakeUp += comesBack * si.Volume((k-1)/(mostFactor-1))
		}, more: true, shows: pumpedAway, complaint: scenario.ComplaintLow},
	{figure: "brakes' give", shift: func(c *sim.Config, k float64) {
		c.Front.Compliance *= si.Compliance(k)
		c.Rear.Compliance *= si.Compliance(k)
	}, more: true, less: true},
	{figure: "front circuit", shift: func(c *sim.Config, _ float64) { loses(c, &c.Front) },
		whole: "a front circuit that holds no pressure", shows: runsOut, complaint: scenario.ComplaintLow, parked: true},
	{figure: "rear circuit", shift: func(c *sim.Config, _ float64) { loses(c, &c.Rear) },
		whole: "a rear circuit that holds no pressure", shows: runsOut, complaint: scenario.ComplaintLow, parked: true},
	{figure: "rear wheels", whole: "rear wheels that drag, as with a parking-brake cable that sticks",
		shows: []unlistedSign{{scenario.WheelDrags, verdict.RearAxle, 0.9}}, complaint: scenario.ComplaintDrags},
}

// loses lets a circuit lose its pressure, and the other with it where they are one.
func loses(c *sim.Config, circuit *sim.Circuit) {
	circuit.Lost = true
	if c.Master.Circuits == sim.MasterSingle {
		c.Front.Lost, c.Rear.Lost = true, true
	}
}

// unlistedBreakpoints are the logarithms of the factor, as shares of that of mostFactor, at
// which an unlistedFigure is simulated, unlistedLevels those at which it is weighed.
var unlistedBreakpoints = []float64{0.35, 0.7, 1}

const unlistedLevels = 8

// An unlistedCell is one figure off by one factor, with what every trial reads.
type unlistedCell struct {
	*unlistedTrack
	track     int // of the unlistedTracks
	factor    float64
	off       float64 // the share of the most by which it is off
	share     float64 // of the track's belief
	fromSound float64 // the gap to the sound car
	point
}

// An unlistedTrack is a figure with a direction, by the sign of the logarithm, or a fault that
// is there or not.
type unlistedTrack struct {
	unlistedFigure
	sign float64
}

// unlistedTracks are those of a car.
func unlistedTracks(c *sim.Config) []unlistedTrack {
	var out []unlistedTrack
	for _, o := range unlistedFigures {
		if o.has != nil && !o.has(c) {
			continue
		}
		if o.more || o.whole != "" {
			out = append(out, unlistedTrack{o, 1})
		}
		if o.less {
			o.shows, o.complaint = nil, "" // which are of too much
			out = append(out, unlistedTrack{o, -1})
		}
	}
	return out
}

// breakpoints are the shares at which a track is simulated.
func (t *unlistedTrack) breakpoints() []float64 {
	if t.whole != "" {
		return []float64{1}
	}
	return unlistedBreakpoints
}

// levels is in how many degrees a track is there.
func (t *unlistedTrack) levels() int {
	if t.whole != "" {
		return 1
	}
	return unlistedLevels
}

// put puts a car off by a share of the most.
func (t *unlistedTrack) put(c *sim.Config, share float64) {
	if t.shift != nil {
		t.shift(c, factorAt(t.sign*share))
		keepReturning(c)
	}
}

// chance is that of a yes to a sign at a share of the most, where a sound car has another: it
// grows as most signs of the listed faults do.
func (t *unlistedTrack) chance(of workshop.Trial, share, sound float64) float64 {
	const silentTo, fullFrom = 0.1, 0.5
	for _, s := range t.shows {
		if s.test == of.Test() && s.axle == of.Axle {
			return sound + clamp((share-silentTo)/(fullFrom-silentTo), 0, 1)*(s.chance-sound)
		}
	}
	return sound
}

// complained is by how much a complaint makes a track more likely.
func (t *unlistedTrack) complained(c scenario.Complaint) float64 {
	all := float64(len(scenario.Complaints()))
	switch {
	case c == "" || t.complaint == "":
		return 1
	case c == t.complaint:
		return saysFirst * all
	}
	return (1 - saysFirst) / (all - 1) * all
}

// likeliestUnlisted returns what is most likely of what is in no list, by which factor it is off,
// and how likely that is.
func (p *posterior) likeliestUnlisted() (t *unlistedTrack, factor, share float64) {
	weights, logs := map[string]float64{}, map[string]float64{}
	for i := range p.hypotheses {
		h := &p.hypotheses[i]
		if h.class != unlistedClass {
			continue
		}
		figure := h.unlisted.figure
		weights[figure] += h.weight
		logs[figure] += h.weight * portable.Log(h.unlisted.factor)
		if weights[figure] > share {
			t, share = h.unlisted.unlistedTrack, weights[figure]
		}
	}
	if t == nil {
		return nil, 1, 0
	}
	return t, portable.Exp(logs[t.figure] / share), share
}

// words say which car it reads like.
func (t *unlistedTrack) words(factor float64) string {
	if t.whole != "" {
		return "one with " + t.whole
	}
	return fmt.Sprintf("a car whose %s is about %.2g times what is written", t.figure, factor)
}

func factorAt(share float64) float64 { return portable.Pow(mostFactor, share) }

// simulateUnlisted simulates the unlistedFigures of the scope and lays them out over their factors.
func (l *Library) simulateUnlisted(ctx context.Context) error {
	l.unlistedCells = nil
	if l.config.Booster.Kind == sim.BoosterNone {
		return nil
	}
	tracks := unlistedTracks(&l.config)
	points := make([][]point, len(tracks))
	var all []placed
	for k := range tracks {
		points[k] = make([]point, len(tracks[k].breakpoints()))
		for i, share := range tracks[k].breakpoints() {
			points[k][i].mean = notDone(len(l.trials))
			all = append(all, placed{&points[k][i], order{soundCar.off(k, share), l.which(func(t int) bool { return l.scope.figures[k](t) != noLook })}})
		}
	}
	if err := l.carryOut(ctx, all, nil); err != nil {
		return err
	}
	for k := range tracks {
		t := &tracks[k]
		for i, within := range l.unlistedSteps(t, points[k]) {
			share := (float64(i) + 0.5) / float64(t.levels())
			if t.whole != "" {
				share = 1
			}
			p := point{mean: within.middle, slope: make([][unknowns]float64, len(l.trials))}
			for j, trial := range l.trials {
				if trial.ByChance() {
					p.mean[j] = t.chance(trial, share, l.sound.mean[j])
					continue
				}
				p.slope[j] = l.sound.slope[j]
				p.slope[j][countNuisances] = withinStep * finite(within.high[j]-within.low[j])
			}
			l.unlistedCells = append(l.unlistedCells, unlistedCell{t, k, factorAt(t.sign * share), share, 1 / float64(len(tracks)*t.levels()), l.gap(&p, &l.sound), p})
		}
	}
	return nil
}

// unlistedSteps are what a track reads by degrees, out of what it reads where it was simulated.
func (l *Library) unlistedSteps(t *unlistedTrack, found []point) []step {
	if t.whole != "" {
		return []step{{found[0].mean, found[0].mean, found[0].mean}}
	}
	return stepsOf(l.interpolate(unlistedBreakpoints, found, 2*unlistedLevels))
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
