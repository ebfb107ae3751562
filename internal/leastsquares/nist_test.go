package leastsquares

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// reference is a dataset with certified results.
type reference struct {
	name         string
	y, x         []float64
	model        func(b []float64, x float64) float64
	starts       [][]float64
	b, deviation []float64
	sum          float64
}

// The NIST Statistical Reference Datasets for nonlinear regression. Data and certified
// values after secondary copies of NIST's files (test programs of other software that
// hold them, seen twice for Misra1a; of Thurber the standard deviations once).
func references() []reference {
	return []reference{
		{
			name: "Misra1a",
			y:    []float64{10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78},
			x:    []float64{77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0},
			model: func(b []float64, x float64) float64 {
				return b[0] * (1 - math.Exp(-b[1]*x))
			},
			starts:    [][]float64{{500, 0.0001}, {250, 0.0005}},
			b:         []float64{2.3894212918e+02, 5.5015643181e-04},
			deviation: []float64{2.7070075241e+00, 7.2668688436e-06},
			sum:       1.2455138894e-01,
		},
		{
			// Of the highest of NIST's three grades of difficulty.
			name: "MGH10",
			y: []float64{
				34780, 28610, 23650, 19630, 16370, 13720, 11540, 9744, 8261, 7030, 6005, 5147, 4427, 3820, 3307, 2872,
			},
			x: []float64{50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 100, 105, 110, 115, 120, 125},
			model: func(b []float64, x float64) float64 {
				return b[0] * math.Exp(b[1]/(x+b[2]))
			},
			starts:    [][]float64{{0.02, 4000, 250}},
			b:         []float64{5.6096364710e-03, 6.1813463463e+03, 3.4522363462e+02},
			deviation: []float64{1.5687892471e-04, 2.3309021107e+01, 7.8486103508e-01},
			sum:       8.7945855171e+01,
		},
		{
			// Seven unknowns, of the highest grade.
			name: "Thurber",
			y: []float64{
				80.574, 84.248, 87.264, 87.195, 89.076, 89.608, 89.868, 90.101, 92.405, 95.854, 100.696, 101.060, 401.672,
				390.724, 567.534, 635.316, 733.054, 759.087, 894.206, 990.785, 1090.109, 1080.914, 1122.643, 1178.351,
				1260.531, 1273.514, 1288.339, 1327.543, 1353.863, 1414.509, 1425.208, 1421.384, 1442.962, 1464.350,
				1468.705, 1447.894, 1457.628,
			},
			x: []float64{
				-3.067, -2.981, -2.921, -2.912, -2.840, -2.797, -2.702, -2.699, -2.633, -2.481, -2.363, -2.322, -1.501,
				-1.460, -1.274, -1.212, -1.100, -1.046, -0.915, -0.714, -0.566, -0.545, -0.400, -0.309, -0.109, -0.103,
				0.010, 0.119, 0.377, 0.790, 0.963, 1.006, 1.115, 1.572, 1.841, 2.047, 2.200,
			},
			model: func(b []float64, x float64) float64 {
				return (b[0] + x*(b[1]+x*(b[2]+x*b[3]))) / (1 + x*(b[4]+x*(b[5]+x*b[6])))
			},
			starts: [][]float64{{1000, 1000, 400, 40, 0.7, 0.3, 0.03}},
			b: []float64{
				1.2881396800e+03, 1.4910792535e+03, 5.8323836877e+02, 7.5416644291e+01, 9.6629502864e-01, 3.9797285797e-01,
				4.9727297349e-02,
			},
			deviation: []float64{
				4.6647963344e+00, 3.9571156086e+01, 2.8698696102e+01, 5.5675370270e+00, 3.1333340687e-02, 1.4984928198e-02,
				6.5842344623e-03,
			},
			sum: 5.6427082397e+03,
		},
	}
}

// Estimates, standard errors and the sum of squares of three reference problems, from
// every start; the sum as closely as the search stops.
func TestNISTReferenceData(t *testing.T) {
	t.Parallel()
	for _, ref := range references() {
		for _, start := range ref.starts {
			fit := solved(t, Problem{
				Start: ones(len(start)), Step: 1e-4,
				Residuals: func(_ context.Context, u []float64) ([]float64, error) {
					b := make([]float64, len(u))
					for j := range b {
						b[j] = start[j] * u[j]
					}
					r := make([]float64, len(ref.x))
					for i := range r {
						r[i] = ref.model(b, ref.x[i]) - ref.y[i]
					}
					return r, nil
				},
			})
			assert.True(t, fit.Converged, ref.name)
			assert.InEpsilon(t, ref.sum, fit.Sum, usualNear*usualNear/float64(len(ref.x)-len(start)), "%s: sum of squares", ref.name)
			p := fit.Precision()
			for j := range start {
				assert.InDelta(t, ref.b[j], fit.X[j]*start[j], 0.002*ref.deviation[j], "%s b%d", ref.name, j+1)
				assert.InEpsilon(t, ref.deviation[j], p.Error[j]*start[j], 1e-3, "%s: standard error of b%d", ref.name, j+1)
			}
		}
	}
}

func ones(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = 1
	}
	return out
}

func solved(t *testing.T, p Problem) *Fit {
	t.Helper()
	fit, err := Solve(context.Background(), p)
	require.NoError(t, err)
	return fit
}
