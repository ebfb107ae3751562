package ode

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
)

// tableau is the method in the form in which its order conditions are written,
//
//	k_i = h f(y + sum alpha_ij k_j) + h J sum gamma_ij k_j,  y1 = y + sum b_i k_i,
//
// recovered from the transformed coefficients of the code (Hairer and Wanner,
// section IV.7: u = Gamma k, Gamma^-1 = I/gamma - C, A = alpha Gamma^-1, m = b Gamma^-1).
type tableau struct {
	alpha, beta *mat.Dense // beta = alpha + Gamma
	invGamma    *mat.Dense
	gamma       *mat.Dense
}

func recover6(t *testing.T) tableau {
	const s = 6
	a := mat.NewDense(s, s, []float64{
		0, 0, 0, 0, 0, 0,
		a21, 0, 0, 0, 0, 0,
		a31, a32, 0, 0, 0, 0,
		a41, a42, a43, 0, 0, 0,
		a51, a52, a53, a54, 0, 0,
		a51, a52, a53, a54, 1, 0,
	})
	inv := mat.NewDense(s, s, []float64{
		1 / gamma, 0, 0, 0, 0, 0,
		-c21, 1 / gamma, 0, 0, 0, 0,
		-c31, -c32, 1 / gamma, 0, 0, 0,
		-c41, -c42, -c43, 1 / gamma, 0, 0,
		-c51, -c52, -c53, -c54, 1 / gamma, 0,
		-c61, -c62, -c63, -c64, -c65, 1 / gamma,
	})
	var tab tableau
	tab.invGamma = inv
	tab.gamma, tab.alpha, tab.beta = new(mat.Dense), new(mat.Dense), new(mat.Dense)
	require.NoError(t, tab.gamma.Inverse(inv))
	tab.alpha.Mul(a, tab.gamma)
	tab.beta.Add(tab.alpha, tab.gamma)
	return tab
}

// weights turns weights on the u into weights on the k.
func (tab tableau) weights(m []float64) []float64 {
	var b mat.VecDense
	b.MulVec(tab.gamma.T(), mat.NewVecDense(len(m), m))
	return b.RawVector().Data
}

// newWeights, embeddedWeights are those of the new state and of the embedded one.
func newWeights() []float64      { return []float64{a51, a52, a53, a54, 1, 1} }
func embeddedWeights() []float64 { return []float64{a51, a52, a53, a54, 1, 0} }

func rowSums(m *mat.Dense) []float64 {
	rows, _ := m.Dims()
	out := make([]float64, rows)
	for i := range out {
		out[i] = mat.Sum(m.RowView(i))
	}
	return out
}

func times(m *mat.Dense, v []float64) []float64 {
	var out mat.VecDense
	out.MulVec(m, mat.NewVecDense(len(v), v))
	return out.RawVector().Data
}

func product(vs ...[]float64) []float64 {
	out := constant(len(vs[0]), 1)
	for _, v := range vs {
		for i := range out {
			out[i] *= v[i]
		}
	}
	return out
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// orderConditions gives, for each rooted tree with up to four nodes, the deviation
// of the weights b from the tree's condition for a step of share theta (Hairer and
// Wanner, section IV.7, theorem 7.3 in the form with the diagonal of Gamma in beta).
func (tab tableau) orderConditions(b []float64, theta float64) map[string]float64 {
	al, be := rowSums(tab.alpha), rowSums(tab.beta)
	one := constant(len(b), 1)
	p := func(k int) float64 { return math.Pow(theta, float64(k)) }
	return map[string]float64{
		"1: b":                  dot(b, one) - theta,
		"2: b beta":             dot(b, be) - p(2)/2,
		"3: b alpha^2":          dot(b, product(al, al)) - p(3)/3,
		"3: b beta beta":        dot(b, times(tab.beta, be)) - p(3)/6,
		"4: b alpha^3":          dot(b, product(al, al, al)) - p(4)/4,
		"4: b alpha alpha beta": dot(b, product(al, times(tab.alpha, be))) - p(4)/8,
		"4: b beta alpha^2":     dot(b, times(tab.beta, product(al, al))) - p(4)/12,
		"4: b beta beta beta":   dot(b, times(tab.beta, times(tab.beta, be))) - p(4)/24,
	}
}

func TestOrderConditions(t *testing.T) {
	tab := recover6(t)
	for name, dev := range tab.orderConditions(tab.weights(newWeights()), 1) {
		assert.InDelta(t, 0, dev, 1e-13, "new state, order %s", name)
	}
	worst := 0.0
	for name, dev := range tab.orderConditions(tab.weights(embeddedWeights()), 1) {
		if name[0] == '4' {
			worst = max(worst, math.Abs(dev))
			continue
		}
		assert.InDelta(t, 0, dev, 1e-13, "embedded state, order %s", name)
	}
	assert.Greater(t, worst, 1e-3, "an embedded method of order 4 would estimate nothing")
}

func TestDenseOutputOrderConditions(t *testing.T) {
	tab := recover6(t)
	for _, theta := range []float64{0.1, 0.3, 0.5, 0.8, 0.95} {
		m := newWeights()
		inner := []([]float64){
			{e11, e12, e13, e14, e15, 0},
			{e21, e22, e23, e24, e25, 0},
		}
		for i := range m {
			m[i] = cubic(theta, 0, m[i], inner[0][i], inner[1][i])
		}
		for name, dev := range tab.orderConditions(tab.weights(m), theta) {
			if name[0] != '4' {
				assert.InDelta(t, 0, dev, 1e-13, "theta %g, order %s", theta, name)
			}
		}
	}
}

func TestNodesAndTimeDerivative(t *testing.T) {
	tab := recover6(t)
	al, ga := rowSums(tab.alpha), rowSums(tab.gamma)
	for i, want := range []float64{0, c2, c3, c4, 1, 1} {
		assert.InDelta(t, want, al[i], 1e-14, "node of stage %d", i+1)
	}
	for i, want := range []float64{d1, d2, d3, d4, 0, 0} {
		assert.InDelta(t, want, ga[i], 1e-14, "time derivative in stage %d", i+1)
	}
}

// TestStabilityAtInfinity: R(z) = 1 + z b (I - z beta)^-1 1 vanishes for z to
// infinity, for the new state and for the embedded one, and is at most 1 in
// magnitude on the imaginary axis: L-stability, there being no poles on the left
// since all of them are 1/gamma.
func TestStabilityAtInfinity(t *testing.T) {
	tab := recover6(t)
	for name, m := range map[string][]float64{"new": newWeights(), "embedded": embeddedWeights()} {
		b := tab.weights(m)
		worst := 0.0
		for _, w := range []float64{0.1, 0.5, 1, 2, 3, 5, 8, 13, 30, 100, 1e3, 1e4, 1e6} {
			worst = max(worst, stabilityOnAxis(t, tab.beta, b, w))
		}
		assert.LessOrEqual(t, worst, 1+1e-13, "%s state", name)
		assert.Less(t, stabilityOnAxis(t, tab.beta, b, 1e9), 1e-7, "%s state, R at infinity", name)
	}
}

// stabilityOnAxis is |R(i w)|, from the real system for real and imaginary parts.
func stabilityOnAxis(t *testing.T, beta *mat.Dense, b []float64, w float64) float64 {
	n := len(b)
	sys := mat.NewDense(2*n, 2*n, nil)
	rhs := mat.NewVecDense(2*n, nil)
	for i := range n {
		for j := range n {
			if i == j {
				sys.Set(i, j, 1)
				sys.Set(n+i, n+j, 1)
			}
			sys.Set(i, n+j, w*beta.At(i, j))
			sys.Set(n+i, j, -w*beta.At(i, j))
		}
		rhs.SetVec(i, 1)
	}
	var lu mat.LU
	lu.Factorize(sys)
	var x mat.VecDense
	if err := lu.SolveVecTo(&x, false, rhs); err != nil {
		var cond mat.Condition
		require.ErrorAs(t, err, &cond, fmt.Sprint(w))
	}
	re, im := 1.0, 0.0
	for i := range n {
		re -= w * b[i] * x.AtVec(n+i)
		im += w * b[i] * x.AtVec(i)
	}
	return math.Hypot(re, im)
}
