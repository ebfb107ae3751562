package study

import (
	"context"
	"errors"
	"fmt"
	"math"

	"kneepoint/internal/batch"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A SweepAxis is one quantity of a scenario over a range.
type SweepAxis struct {
	// Path is the key, "source.vacuum"; Values are in SI, rising.
	Path   string
	Dim    si.Dimension
	Values []float64
}

// Even returns n values from one end to the other.
func Even(from, to float64, n int) []float64 {
	if n < 2 {
		return []float64{from}
	}
	out := make([]float64, n)
	for i := range out {
		out[i] = from + (to-from)*float64(i)/float64(n-1)
	}
	return out
}

// SweepResult is one measure over one or two quantities.
type SweepResult struct {
	Axes    []SweepAxis
	Measure Measure
	// Values has the second axis running fastest; NaN where there is none.
	Values []float64
	// Capped says of each value of a count that it is a lower bound, since none of the
	// stops that were made failed; it is nil for what is no count.
	Capped []bool
	// Impossible counts the points at which the scenario cannot be.
	Impossible, Unfinished int
	title                  string
	asked                  *scenario.Scenario
}

// Sweep evaluates a measure at every point of one or two axes. When it is
// stopped, what was finished comes with the error.
func Sweep(ctx context.Context, s *scenario.Scenario, axes []SweepAxis, m Measure, w Watch) (*SweepResult, error) {
	if len(axes) < 1 || len(axes) > 2 {
		return nil, fmt.Errorf("%d quantities to sweep, want one or two", len(axes))
	}
	n := 1
	for _, a := range axes {
		n *= len(a.Values)
	}
	r := &SweepResult{Axes: axes, Measure: m, Values: make([]float64, n), title: s.Title, asked: s}
	if m.capped != nil {
		r.Capped = make([]bool, n)
	}
	impossible := make([]bool, n)
	done, err := batch.ForEach(ctx, n, w, func(ctx context.Context, i int) error {
		v, err := r.point(ctx, s, i)
		var wrong *scenario.InputError
		if errors.As(err, &wrong) {
			impossible[i] = true
			err = nil
		}
		r.Values[i] = v.Value()
		return err
	})
	for i := range r.Values {
		if impossible[i] {
			r.Impossible++
		}
		if !done[i] {
			r.Unfinished++
			r.Values[i] = math.NaN()
		}
	}
	return r, err
}

// at returns the coordinates of a point.
func (r *SweepResult) at(i int) []float64 {
	if len(r.Axes) == 1 {
		return []float64{r.Axes[0].Values[i]}
	}
	n := len(r.Axes[1].Values)
	return []float64{r.Axes[0].Values[i/n], r.Axes[1].Values[i%n]}
}

func (r *SweepResult) point(ctx context.Context, s *scenario.Scenario, i int) (answer.Optional[float64], error) {
	var set []scenario.Setting
	var unset []string
	for k, v := range r.at(i) {
		a := r.Axes[k]
		if a.Path == scenario.KeyReservoirVolume && v == 0 {
			unset = append(unset, "reservoir")
			continue
		}
		set = append(set, scenario.SettingIn(a.Path, a.Dim, v))
	}
	car, err := s.Edit(set, unset...)
	if err != nil {
		return answer.None[float64](), err
	}
	v, err := r.Measure.of(ctx, car)
	if err == nil && r.Capped != nil {
		r.Capped[i] = r.Measure.capped(car, v)
	}
	return v, err
}
