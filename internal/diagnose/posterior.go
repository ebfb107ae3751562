package diagnose

import (
	"context"
	"fmt"
	"math"
	"slices"

	"kneepoint/internal/portable"
	"kneepoint/internal/workshop"
	"kneepoint/sim/scenario"
)

// What is believed before any reading (estimates). How often one fault is there against
// another is [workshop.Frequency]; every severity is as likely as any other.
const (
	// Of those that nobody complains of one in five is sound, and of all that come one in ten;
	// without a complaint a car is as often one of these, of whom nobody asked, see notSaid.
	priorSound      = notSaid*0.10 + (1-notSaid)*0.20
	priorComplained = 0.06 // of those that somebody complains of
	// Of those with a fault of the list one in five has two: of 1000 cars in use 28 % had wheels
	// out of adjustment and 40 % any other brake defect (TRRL report LR 803, published abstract),
	// which is both in 11 of the 57 % that have either, if the one has nothing to do with the
	// other (estimate).
	sharePair = 0.2
	// Where the vacuum is short of what is needed, that by itself is what is wrong: of those
	// with a large camshaft whose driver finds the pedal hard some six in ten (judgement), which
	// is this before the complaint is weighed.
	priorShort       = 0.27
	priorUnexplained = 0.10
	// Half of that is one figure far off, as unlistedFigures have it.
	shareFigure = 0.5
	// Under anything else that is not in the list a reading is as that of the sound
	// car with this chance, and otherwise anything.
	untouched = 0.6
	// Pairs are simulated when sound car and single faults do not explain the
	// readings to this share, or well enough.
	explained = 0.98
	// What lies so far below the best single fault, as a logarithm, after some of
	// the readings is not followed further.
	hopeless = 20
)

// A hypothesis is one car with how much it is believed.
type hypothesis struct {
	faults     [2]int // of the library; noFault where there is none
	severities [2]float64
	// class is what an answer counts the hypothesis as.
	class class
	point *point
	// fromFault is that of the cell, for a single fault.
	fromFault []float64
	unlisted  *unlistedCell
	*belief   // never written to once weighed
	// prior is the logarithm of what it had before the readings; weight is the share it has
	// after them, flatter by how much it would have more if every fault were as likely.
	prior, weight, flatter float64
}

func (h *hypothesis) logWeight() float64 { return h.log + h.prior }

// A class is a set of faults that an answer names: none, one or two.
type class struct{ a, b int }

var (
	soundClass = class{noFault, noFault}
	// unlistedClass is of all that is not in the list, otherPairs of the pairs too faint
	// for a line of their own.
	unlistedClass = class{-3, -3}
	otherPairs    = class{-4, -4}
)

// A posterior is what is believed after some readings.
type posterior struct {
	hypotheses []hypothesis
	// unexplained is all that is not in the list, anything the part of it for
	// which there is no car to simulate.
	unexplained, anything float64
	readings              []taken
	// told are trials that were done and told nothing.
	told []workshop.Trial
	// single is what was believed of single faults before any reading, pair of two.
	single, pair float64
	// pace is the best logarithm of the single faults after each reading.
	pace []float64
	// anythingLog is the logarithm of prior and likelihood of that part.
	anythingLog float64
}

// believe weighs every hypothesis by the readings. Pairs of faults are among them
// by the estimate from their parts; those that matter are simulated where the
// sound car and single faults explain the readings badly.
func (l *Library) believe(ctx context.Context, readings []taken) (*posterior, error) {
	p := l.weighSingles(readings)
	if len(l.faults) < 2 {
		return p, nil
	}
	badly := len(readings) > 0 && (p.unexplained > 1-explained || !p.fits())
	if err := l.addPairs(ctx, p, badly); err != nil {
		return nil, err
	}
	p.normalise()
	return p, nil
}

// weighSingles weighs the sound car and every single fault.
func (l *Library) weighSingles(readings []taken) *posterior {
	p := &posterior{readings: readings, pace: make([]float64, len(readings))}
	for i := range p.pace {
		p.pace[i] = math.Inf(-1)
	}
	sound := priorSound
	if l.complaint != "" {
		sound = priorComplained
	}
	if l.lowSource() != noFault {
		sound = priorShort
	}
	listed := 1 - sound - priorUnexplained
	single := (1 - sharePair) * listed
	p.single, p.pair = single, sharePair*listed
	for i := range l.cells {
		c := &l.cells[i]
		h := hypothesis{faults: [2]int{c.fault, noFault}, severities: [2]float64{c.severity, 0}, class: class{c.fault, noFault}, point: &c.point, fromFault: c.fromFault, flatter: 1}
		prior := sound * l.complained(c.fault)
		if c.fault >= 0 {
			h.flatter = l.faults[c.fault].flat / l.faults[c.fault].often
			prior = single * l.faults[c.fault].often / severities * l.saidOf(c.fault, c.severity)
		}
		l.weigh(&h, prior, p, func(i int, log float64) bool {
			p.pace[i] = max(p.pace[i], log)
			return true
		})
		if l.complaint != "" && l.silent(c.fault) {
			p.add(h, h.class, 1)
			continue
		}
		p.addOrSound(h, c.fromSound)
	}
	share := 1.0
	if len(l.unlistedCells) > 0 {
		share -= shareFigure
	}
	for i := range l.unlistedCells {
		c := &l.unlistedCells[i]
		h := hypothesis{faults: [2]int{noFault, noFault}, class: unlistedClass, point: &c.point, unlisted: c, flatter: 1}
		if l.weigh(&h, priorUnexplained*shareFigure*c.share*l.saidOfTrack(c.unlistedTrack, c.off), p, p.keepsUp) {
			p.addOrSound(h, c.fromSound)
		}
	}
	l.callShort(p)
	p.anythingLog = l.unexplainedLog(p) + portable.Log(priorUnexplained*share)
	p.normalise()
	return p
}

// add takes in a share of a hypothesis, counted as a class.
func (p *posterior) add(h hypothesis, c class, share float64) {
	if share > 0 {
		h.class = c
		h.prior += portable.Log(share)
		p.hypotheses = append(p.hypotheses, h)
	}
}

// addOrSound takes in a hypothesis, counted as the sound car as far as no test tells
// it from that.
func (p *posterior) addOrSound(h hypothesis, fromSound float64) {
	silent := likeness(fromSound)
	p.add(h, h.class, 1-silent)
	p.add(h, soundClass, silent)
}

// silent reports whether no test shows a fault, however severe, so that only what the driver
// says and what the tests rule out speak for it.
func (l *Library) silent(fault int) bool {
	return fault != noFault && !slices.ContainsFunc(l.cellsOf(fault), func(c cell) bool { return c.fromSound >= 1 })
}

// keepsUp reports whether a logarithm is not hopelessly behind the single faults
// after a reading.
func (p *posterior) keepsUp(reading int, log float64) bool { return log >= p.pace[reading]-hopeless }

// fits reports whether the most likely hypothesis has no reading more than two
// standard deviations off.
func (p *posterior) fits() bool {
	best := 0 // the sound car
	for i := range p.hypotheses {
		if h := &p.hypotheses[i]; h.class != unlistedClass && h.weight > p.hypotheses[best].weight {
			best = i
		}
	}
	return p.hypotheses[best].worst < 2
}

// take looks up the trials of readings; their tests must be the library's.
func (l *Library) take(readings []scenario.Reading) ([]taken, error) {
	var out []taken
	for _, r := range readings {
		if r.CantTell {
			continue
		}
		t, err := workshop.TrialOf(r)
		if err != nil {
			return nil, err
		}
		at := l.place(t)
		if at < 0 {
			return nil, fmt.Errorf("%s is not among the tests that were simulated", r.Test)
		}
		read := taken{trial: l.trials[at], at: at, value: t.Read(r), scatter: t.Scatter(max(r.Error, l.swing(t)))}
		read.low, read.high, read.ranged = t.Within(r)
		out = append(out, read)
	}
	return out, nil
}

// swing is by how much an outcome may lie off because a pump leaves the booster at any
// vacuum between its switches.
func (l *Library) swing(t workshop.Trial) float64 {
	if pump := l.config.Pump; pump.FreeFlow > 0 && t.Test() == scenario.BoosterVacuum {
		return float64(pump.Off - pump.On)
	}
	return 0
}

// place is that of a trial among the library's, -1 if it is none of them: the same but for
// the last digits of its conditions is the same.
func (l *Library) place(t workshop.Trial) int {
	if at := slices.Index(l.trials, t); at >= 0 {
		return at
	}
	return slices.IndexFunc(l.trials, t.Same)
}

// weigh updates a hypothesis that has not seen the readings. After each of them it
// asks whether to go on, if there is something to ask, and reports whether it came
// to the end.
func (l *Library) weigh(h *hypothesis, prior float64, p *posterior, goOn func(reading int, log float64) bool) bool {
	h.prior = portable.Log(prior)
	h.belief = &unread
	if len(p.readings) == 0 {
		return true
	}
	b := unread
	for i := range p.readings {
		b.update(&p.readings[i], h.point)
		if goOn != nil && !goOn(i, h.prior+b.log) {
			return false
		}
	}
	h.belief = new(b)
	return true
}

func (l *Library) addPairs(ctx context.Context, p *posterior, simulate bool) error {
	l.layPairs()
	same, sameFlat := 0.0, 0.0
	for _, f := range l.faults {
		same += f.often * f.often
		sameFlat += f.flat * f.flat
	}
	priorOf := func(c *pairCell) float64 {
		share := 2 * l.faults[c.a].often * l.faults[c.b].often / (1 - same)
		return p.pair*share/(pairLevels*pairLevels)*l.saidOfPair(c) + l.quiet(c, p.single)
	}
	hypothesisOf := func(c *pairCell, by *point) hypothesis {
		a, b := &l.faults[c.a], &l.faults[c.b]
		flatter := a.flat * b.flat / (1 - sameFlat) / (a.often * b.often / (1 - same))
		return hypothesis{faults: [2]int{c.a, c.b}, severities: c.severities, point: by, flatter: flatter}
	}
	cells := l.pairs.cells
	if simulate {
		best := map[pairing]scored{}
		for i := range cells {
			c := &cells[i]
			if c.as.itself < 0.5 || !l.adds(c, p.readings) {
				continue
			}
			h := hypothesisOf(c, c.point)
			b, ok := best[c.pairing]
			if l.weigh(&h, priorOf(c), p, func(int, float64) bool { return !ok || h.capped < b.miss }) && (!ok || h.capped < b.miss) {
				best[c.pairing] = scored{c, h.capped}
			}
		}
		var err error
		if cells, err = l.corrected(ctx, bestPairs(best)); err != nil {
			return err
		}
	}
	if len(p.readings) == 0 {
		p.hypotheses = slices.Grow(p.hypotheses, 2*len(cells))
	}
	for i := range cells {
		c := &cells[i]
		h := hypothesisOf(c, c.point)
		if !l.weigh(&h, priorOf(c), p, p.keepsUp) {
			continue
		}
		p.add(h, soundClass, c.as.sound)
		p.add(h, class{c.a, noFault}, c.as.first)
		p.add(h, class{c.b, noFault}, c.as.second)
		p.add(h, class{c.a, c.b}, c.as.itself)
	}
	l.callShort(p)
	return nil
}

// callShort calls a car that would be sound but for a vacuum that is short what it is.
func (l *Library) callShort(p *posterior) {
	low := l.lowSource()
	if low == noFault {
		return
	}
	for i := range p.hypotheses {
		if h := &p.hypotheses[i]; h.class == soundClass {
			h.class = class{low, noFault}
		}
	}
}

// normalise turns logarithms into weights that sum to 1 with unexplained. It may
// be called again after hypotheses were added.
func (p *posterior) normalise() {
	top := p.anythingLog
	for i := range p.hypotheses {
		h := &p.hypotheses[i]
		top = max(top, h.logWeight())
	}
	sum := portable.Exp(p.anythingLog - top)
	p.anything = sum
	for i := range p.hypotheses {
		h := &p.hypotheses[i]
		h.weight = portable.Exp(h.logWeight() - top)
		sum += h.weight
	}
	p.anything /= sum
	p.unexplained = p.anything
	for i := range p.hypotheses {
		h := &p.hypotheses[i]
		h.weight /= sum
		if h.class == unlistedClass {
			p.unexplained += h.weight
		}
	}
}
