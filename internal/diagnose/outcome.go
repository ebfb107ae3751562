package diagnose

import (
	"fmt"
	"math"

	"kneepoint/internal/workshop"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// An Outcome is what the next test may show, and what that would mean.
type Outcome struct {
	Reading string `json:"reading"`
	// Low and High bound a figure; they do not exist at an open end and for a yes
	// or no. The unit is that of the test: Pa, m, s, or stops.
	Low         answer.Optional[float64] `json:"low"`
	High        answer.Optional[float64] `json:"high"`
	Probability float64                  `json:"probability"`
	// Fault is the most likely one then, and Then its probability.
	Fault string  `json:"fault"`
	Then  float64 `json:"fault_probability"`

	trial     workshop.Trial
	class     class
	low, high float64
}

// outcomesOf tells apart what a test may show by what would be most likely then.
func (l *Library) outcomesOf(f *forecast) []Outcome {
	all := f.regions()
	if !f.trial.IsYesNo() {
		all = joinRare(all)
	}
	var out []Outcome
	for _, s := range all {
		o := Outcome{Probability: s.chance, trial: f.trial, low: math.Inf(-1), high: math.Inf(1)}
		for c, v := range f.joint {
			if share := within(v, s.from, s.to) / s.chance; share > o.Then {
				o.Then, o.class, o.Fault = share, f.classes[c], l.nameOf(f.classes[c])
			}
		}
		if f.trial.IsYesNo() {
			o.low = s.from
		} else {
			if s.from > 0 {
				o.low = f.edge(s.from)
				o.Low = answer.Of(o.low)
			}
			if s.to < float64(f.n) {
				o.high = f.edge(s.to)
				o.High = answer.Of(o.high)
			}
		}
		o.Reading = o.words(si.SI)
		out = append(out, o)
	}
	return out
}

// words says what is read.
func (o *Outcome) words(u si.System) string {
	t := o.trial
	switch {
	case t.IsYesNo():
		return t.Word(o.low > 0)
	case t.Counts():
		low, high := max(0, int(o.low)), int(o.high)-1
		switch {
		case math.IsInf(o.high, 1) && math.IsInf(o.low, -1):
			return "any number of stops"
		case math.IsInf(o.high, 1) && low == 1:
			return "1 stop or more"
		case math.IsInf(o.high, 1):
			return fmt.Sprintf("%d stops or more", low)
		case low == high && low == 1:
			return "1 stop"
		case low == high:
			return fmt.Sprintf("%d stops", low)
		case math.IsInf(o.low, -1) && high == 1:
			return "1 stop or none"
		case math.IsInf(o.low, -1):
			return fmt.Sprintf("%d stops or fewer", high)
		}
		return fmt.Sprintf("%d to %d stops", low, high)
	}
	show := func(v float64) string { return t.Print(v, u) }
	switch {
	case math.IsInf(o.low, -1) && math.IsInf(o.high, 1):
		return "any reading"
	case math.IsInf(o.low, -1):
		return "below " + show(o.high)
	case math.IsInf(o.high, 1):
		return show(o.low) + " or more"
	}
	return si.Spanned(show(o.low), show(o.high))
}
