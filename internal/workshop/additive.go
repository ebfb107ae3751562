package workshop

import (
	"kneepoint/internal/portable"
)

// A scale is one on which the effects of two faults on an outcome add up best.
type scale struct {
	onto, back func(c Conditions, v float64) float64
}

var (
	// leaks drain a chamber each at its rate.
	leaks = scale{
		func(c Conditions, v float64) float64 { return -portable.Log(1 - min(v/float64(c.Vacuum), 0.995)) },
		func(c Conditions, v float64) float64 { return float64(c.Vacuum) * (1 - portable.Exp(-max(0, v))) },
	}
	// factors multiply.
	factors = scale{
		func(_ Conditions, v float64) float64 { return portable.Log(max(v, 1e-6)) },
		func(_ Conditions, v float64) float64 { return portable.Exp(v) },
	}
	// sums add up as they are.
	sums = scale{
		func(_ Conditions, v float64) float64 { return v },
		func(_ Conditions, v float64) float64 { return v },
	}
	// chances of a sign: it is there if either fault shows it.
	chances = scale{
		func(_ Conditions, v float64) float64 { return -portable.Log(1 - min(v, 0.995)) },
		func(_ Conditions, v float64) float64 { return 1 - portable.Exp(-max(0, v)) },
	}
)

// Additive puts an outcome on the scale on which faults add up best.
func (t Trial) Additive(outcome float64) float64 { return t.test.adds.onto(t.Conditions, outcome) }

// FromAdditive is the inverse of [Trial.Additive].
func (t Trial) FromAdditive(v float64) float64 { return t.test.adds.back(t.Conditions, v) }
