//go:build sundials

package classic_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/bench/cvode"
	"kneepoint/internal/ode"
)

// TestAgainstCVODE compares the classic problems, at forty times along each run,
// with SUNDIALS CVODE at rtol 1e-12: another family of methods, by other authors.
// Trust: general-purpose reference library, run here. How far CVODE itself is from
// converged is measured against its run at 1e-11 and logged.
func TestAgainstCVODE(t *testing.T) {
	// Expected before the first run, of errors relative to |y| + abs.
	const (
		bound    = 1e-7 // of ours at Rel 1e-8, ten times its error per step
		boundEnd = 1e-8 // of ours at Rel 1e-10, and of the end values on record
	)
	for _, ref := range references() {
		if ref.name == "E5" {
			continue // its end value lies far below what differences of rates resolve
		}
		t.Run(ref.name, func(t *testing.T) {
			times := alongTheRun(ref.tEnd)
			tight := cvodeSamples(t, ref, times, 1e-12)
			own := worstOf(ref, tight, cvodeSamples(t, ref, times, 1e-11))
			ours8 := worstOf(ref, tight, ourSamples(t, ref, times, 1e-8))
			ours10 := worstOf(ref, tight, ourSamples(t, ref, times, 1e-10))
			end := relativeError(tight[len(tight)-1], ref.want)
			t.Logf("t = %g: CVODE 1e-11 against 1e-12 %.1e; ours at 1e-8 %.1e, at 1e-10 %.1e; CVODE from the end value on record %.1e",
				ref.tEnd, own, ours8, ours10, end)
			assert.LessOrEqual(t, ours8, bound)
			assert.LessOrEqual(t, ours10, boundEnd)
			assert.LessOrEqual(t, end, boundEnd, "end value on record")
		})
	}
}

// alongTheRun are times spread evenly or, over long runs, by decades.
func alongTheRun(tEnd float64) []float64 {
	const n = 40
	times := make([]float64, n)
	for i := range times {
		x := float64(i+1) / n
		if tEnd > 1e4 {
			times[i] = math.Pow(tEnd, x)
		} else {
			times[i] = tEnd * x
		}
	}
	times[n-1] = tEnd
	return times
}

func cvodeSamples(t *testing.T, ref reference, times []float64, rtol float64) [][]float64 {
	got, _, err := cvode.Integrate(ref.Rates, 0, ref.y0, []float64{ref.tEnd}, rtol, ref.tolerance(rtol).Abs, times)
	require.NoError(t, err)
	return got
}

func ourSamples(t *testing.T, ref reference, times []float64, rel float64) [][]float64 {
	s, err := ode.New(ref, ref.tolerance(rel))
	require.NoError(t, err)
	s.Reset(0, ref.y0)
	var out [][]float64
	require.NoError(t, s.Advance(context.Background(), ref.tEnd, func(st *ode.Step) error {
		for len(out) < len(times) && times[len(out)] <= st.T1 {
			y := make([]float64, ref.Size())
			st.Eval(times[len(out)], y)
			out = append(out, y)
		}
		return nil
	}))
	require.Len(t, out, len(times))
	return out
}

// worstOf is the largest difference over all times and states, each in the
// problem's own measure |y| + abs.
func worstOf(ref reference, want, got [][]float64) float64 {
	worst := 0.0
	for k := range want {
		for i, y := range want[k] {
			worst = max(worst, math.Abs(got[k][i]-y)/(math.Abs(y)+ref.abs[i]))
		}
	}
	return worst
}
