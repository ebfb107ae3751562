package diagnose

import (
	"cmp"
	"context"
	"math"
	"slices"

	"kneepoint/internal/batch"
	"kneepoint/internal/verdict"
	"kneepoint/internal/workshop"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A NextTest is the test that is worth most for its time.
type NextTest struct {
	Test   string                     `json:"test"`
	Pedal  answer.Optional[si.Force]  `json:"pedal_n"`
	Start  answer.Optional[si.Vacuum] `json:"start_vacuum_pa"`
	Vacuum answer.Optional[si.Vacuum] `json:"vacuum_pa"`
	Lasts  answer.Optional[si.Time]   `json:"lasts_s"`
	Wait   answer.Optional[si.Time]   `json:"wait_s"`
	Axle   verdict.Axle               `json:"axle"`
	Bits   float64                    `json:"expected_bits"`
	// Gain is by how much it is expected to raise the chance that the first repair is right.
	Gain    float64 `json:"expected_gain"`
	Minutes float64 `json:"minutes"`
	// Effort is the minutes with what has to be taken apart, and Tools are those needed.
	Effort float64         `json:"effort_minutes"`
	Tools  []scenario.Tool `json:"tools"`
	// Question is how it is asked for.
	Question Question `json:"question"`
	// Sound is what a sound car reads, in the unit of the outcomes; 1 and 0 for yes
	// and no.
	Sound answer.Optional[float64] `json:"sound"`
	// Outcomes are those likely enough to matter.
	Outcomes []Outcome `json:"outcomes"`

	trial workshop.Trial
	// clears is what Gain is of whether the car may be driven; 0 where that is not asked.
	clears float64
}

// Conditions are those under which the test is to be done.
func (n *NextTest) Conditions() scenario.Reading { return n.trial.Reading(0) }

// A Question is a test as it is put to someone who does it.
type Question struct {
	// Text says what to do and asks for what is to be seen.
	Text string `json:"text"`
	// Answers are the words that will do; none for a figure, whose unit is Unit. A range,
	// a bound and "can't tell" will always do.
	Answers []string `json:"answers"`
	Unit    string   `json:"unit"`
	// Entry are the lines of the [[reading]] without the answer, Key is the answer's.
	Entry []string `json:"entry"`
	Key   string   `json:"key"`
}

// questionOf puts a test in the units of a system.
func questionOf(t workshop.Trial, u si.System) Question {
	q := Question{Text: t.How(u), Answers: []string{}, Entry: t.Entry(u), Key: t.Key()}
	switch {
	case t.IsYesNo():
		q.Answers = []string{t.Word(true), t.Word(false), CantTell}
	case !t.Counts():
		q.Unit = t.Dimension().Unit(u).Name
	}
	return q
}

// CantTell is the answer that says nothing.
const CantTell = "can't tell"

// leastBits is the information below which no test is recommended (estimate).
const leastBits = 0.02

// believed is the share of all belief that counts for the choice of a test: the
// thousands of hypotheses that share the rest would cost most of the time.
const believed = 0.9999

// mostCounted is how many of them count at most: before any reading all pairs are as likely
// as each other, and none of them decides which test is the best.
const mostCounted = 5000

// betweenTests is what going from one test to the next takes, whatever the test
// (estimate), in minutes.
const betweenTests = 2.0

// A test is not asked for while another is worth more than so many times as much and takes
// no more than an effort of so many minutes.
const (
	tellsMore   = 2.0
	littleToAsk = 15.0
)

// worth is what a test is worth for its effort.
func (n *NextTest) worth() float64 { return n.value() / (n.Effort + betweenTests) }

// next returns the test that is worth most for its time and for what must be taken apart, or
// tells most where none is worth that; nil if none tells anything. The second result is all
// that can be done, the best first. None that is worth little comes before one that is worth
// much more for little effort.
func (l *Library) next(p *posterior, repairs map[workshop.Job]float64, danger danger) (*NextTest, []NextTest) {
	fitted := false
	for i := range p.readings {
		fitted = fitted || p.readings[i].trial.NeedsLine()
	}
	least := p.faintest()
	free := danger.all >= worthMentioning && l.readsAsSound(repairs)
	var left []int
	for i, t := range l.trials[:l.menu] {
		if !math.IsNaN(l.sound.mean[i]) && !p.has(t) && l.canDo(t) {
			left = append(left, i)
		}
	}
	all := make([]NextTest, len(left))
	// Nothing here can fail.
	_, _ = batch.ForEach(context.Background(), len(left), nil, func(_ context.Context, k int) error {
		i := left[k]
		t := l.trials[i]
		n := NextTest{
			Test: string(t.Test()), trial: t, Minutes: t.Minutes(fitted), Sound: answer.Of(t.Shows(l.sound.mean[i])),
			Pedal: answer.As[si.Force](t.Condition("pedal")), Start: answer.As[si.Vacuum](t.Condition("start")), Vacuum: answer.As[si.Vacuum](t.Condition("vacuum")), Lasts: answer.As[si.Time](t.Condition("lasts")),
			Question: questionOf(t, si.SI),
			Wait:     answer.As[si.Time](t.Condition("wait")), Axle: t.Axle, Effort: t.Effort(fitted), Tools: append([]scenario.Tool{}, t.Tools()...),
		}
		f := l.forecast(p, i, least)
		n.Bits, n.Gain, n.Outcomes = f.bits(), l.gain(f, repairs), l.outcomesOf(f)
		if free {
			n.clears = f.clears(danger.shares)
		}
		if t.WhileDrags() && !l.mayDrag(p) {
			n.Bits, n.Gain, n.clears = 0, 0, 0
		}
		all[k] = n
		return nil
	})
	most := 0.0
	for i := range all {
		if all[i].Effort <= littleToAsk {
			most = max(most, all[i].value())
		}
	}
	little := func(n *NextTest) bool { return n.value()*tellsMore < most }
	slices.SortStableFunc(all, func(a, b NextTest) int {
		if x, y := little(&a), little(&b); x != y {
			if x {
				return 1
			}
			return -1
		}
		return cmp.Compare(b.worth(), a.worth())
	})
	for _, worth := range []func(*NextTest) bool{(*NextTest).pays, func(n *NextTest) bool { return n.Bits >= leastBits }} {
		for i := range all {
			if worth(&all[i]) {
				return &all[i], all
			}
		}
	}
	return nil, all
}

// mayDrag reports whether a wheel is known to drag, or is complained of.
func (l *Library) mayDrag(p *posterior) bool {
	return l.complaint == scenario.ComplaintDrags || slices.ContainsFunc(p.readings, func(r taken) bool {
		return r.trial.Test() == scenario.WheelDrags && r.value > 0.5
	})
}

// canDo reports whether the workshop has the tools for a trial.
func (l *Library) canDo(t workshop.Trial) bool {
	return !slices.ContainsFunc(t.Tools(), func(tool scenario.Tool) bool { return !l.garage.Has(tool) })
}

// faintest is the weight of the least likely hypothesis that counts.
func (p *posterior) faintest() float64 {
	weights := make([]float64, len(p.hypotheses))
	for i := range p.hypotheses {
		weights[i] = p.hypotheses[i].weight
	}
	slices.Sort(weights)
	left := (1 - believed) * (1 - p.anything)
	for i, w := range weights {
		if i == len(weights)-mostCounted {
			return w
		}
		if left -= w; left < 0 {
			return w
		}
	}
	return 0
}

// has reports whether a trial was done, under much the same conditions.
func (p *posterior) has(t workshop.Trial) bool {
	if slices.ContainsFunc(p.told, t.Near) {
		return true
	}
	for i := range p.readings {
		if p.readings[i].trial.Near(t) {
			return true
		}
	}
	return false
}
