package classic_test

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"

	"kneepoint/internal/ode"
)

// radau is the three-stage Radau IIA collocation method of order 5 on a given mesh,
// with full Newton steps and dense linear algebra: slow, simple, and with nothing in
// common with the solver under test but the problem. Coefficients: Hairer and
// Wanner, section IV.5, table 5.6 (from memory; their collocation conditions are
// checked where they are used).
func radau(t *testing.T, sys ode.System, mesh []float64, y0 []float64) []float64 {
	t.Helper()
	a, c := radauCoefficients(t)
	n, entries := sys.Size(), sys.Pattern().Entries()
	y := append([]float64(nil), y0...)
	z := make([]float64, 3*n) // stage values minus y
	f, dfdt, arg := make([]float64, n), make([]float64, n), make([]float64, n)
	jac := make([]float64, len(entries))
	rates := mat.NewDense(3, n, nil)
	for k := 1; k < len(mesh); k++ {
		t0, h := mesh[k-1], mesh[k]-mesh[k-1]
		clear(z)
		for iteration := 0; ; iteration++ {
			require.Less(t, iteration, 40, "Newton's iteration at t = %g", t0)
			newton := mat.NewDense(3*n, 3*n, nil)
			for i := range 3 * n {
				newton.Set(i, i, 1)
			}
			for s := range 3 {
				for i := range n {
					arg[i] = y[i] + z[s*n+i]
				}
				sys.Rates(t0+c[s]*h, arg, f)
				rates.SetRow(s, f)
				clear(jac)
				sys.Jacobian(t0+c[s]*h, arg, jac, dfdt)
				for e, rc := range entries {
					for r := range 3 {
						row, col := r*n+rc[0], s*n+rc[1]
						newton.Set(row, col, newton.At(row, col)-h*a[r][s]*jac[e])
					}
				}
			}
			rest := mat.NewVecDense(3*n, nil)
			for r := range 3 {
				for i := range n {
					v := -z[r*n+i]
					for s := range 3 {
						v += h * a[r][s] * rates.At(s, i)
					}
					rest.SetVec(r*n+i, v)
				}
			}
			var lu mat.LU
			lu.Factorize(newton)
			if err := lu.SolveVecTo(rest, false, rest); err != nil {
				var cond mat.Condition
				require.ErrorAs(t, err, &cond)
			}
			change := 0.0
			for i := range z {
				d := rest.AtVec(i)
				z[i] += d
				change = max(change, math.Abs(d)/(math.Abs(y[i%n]+z[i])+1e-40))
			}
			if change < 1e-12 || iteration > 12 && change < 1e-9 {
				break
			}
		}
		for i := range y {
			y[i] += z[2*n+i]
		}
	}
	return y
}

func radauCoefficients(t *testing.T) (a [3][3]float64, c [3]float64) {
	r := math.Sqrt(6)
	a = [3][3]float64{
		{(88 - 7*r) / 360, (296 - 169*r) / 1800, (-2 + 3*r) / 225},
		{(296 + 169*r) / 1800, (88 + 7*r) / 360, (-2 - 3*r) / 225},
		{(16 - r) / 36, (16 + r) / 36, 1.0 / 9},
	}
	c = [3]float64{(4 - r) / 10, (4 + r) / 10, 1}
	for i := range 3 {
		for q := 1; q <= 3; q++ {
			sum := 0.0
			for j := range 3 {
				sum += a[i][j] * math.Pow(c[j], float64(q-1))
			}
			require.InDelta(t, math.Pow(c[i], float64(q))/float64(q), sum, 1e-14, "stage %d, degree %d", i+1, q-1)
		}
	}
	return a, c
}

// TestAgainstRadau repeats the references by another method, on the steps the solver
// chose at a moderate tolerance; order 5 makes the most of them. What remains
// between the two is the error of that mesh, and bounds the error of both.
func TestAgainstRadau(t *testing.T) {
	for _, ref := range references() {
		t.Run(ref.name, func(t *testing.T) {
			s, err := ode.New(ref, ref.tolerance(1e-6))
			require.NoError(t, err)
			s.Reset(0, ref.y0)
			mesh := []float64{0}
			require.NoError(t, s.Advance(context.Background(), ref.tEnd, func(st *ode.Step) error {
				mesh = append(mesh, st.T1)
				return nil
			}))
			want := radau(t, ref, mesh, ref.y0)
			tol := ref.tolerance(1e-10)
			if ref.name == "E5" {
				tol.Abs = constant(3, 1e-38)
			}
			got, _ := run(t, ref, 0, ref.tEnd, ref.y0, tol)
			compared := len(want)
			if ref.name == "E5" {
				// The others have decayed to nothing, at any tolerance.
				got, want, compared = got[1:2], want[1:2], 1
			}
			err1 := relativeError(got[:compared], want)
			t.Logf("t = %g: %d steps, relative difference %.1e", ref.tEnd, len(mesh)-1, err1)
			assert.LessOrEqual(t, err1, ref.radau)
		})
	}
}
