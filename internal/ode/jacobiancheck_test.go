package ode

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCheckJacobianOfProblems(t *testing.T) {
	for _, c := range []struct {
		sys   *problem
		t     float64
		y     []float64
		scale []float64
	}{
		{vanDerPol(1e-6), 0.5, []float64{1.7, -0.9}, []float64{1, 1}},
		{prothero(-100), 0.7, []float64{2.5}, []float64{1}},
		{pair(), 0.7, []float64{1.3, 2.9}, []float64{1, 1}},
	} {
		worst, where, err := CheckJacobian(c.sys, c.t, c.y, c.scale)
		require.NoError(t, err, c.sys.name)
		t.Logf("%s: %.1e at %v", c.sys.name, worst, where)
		assert.Less(t, worst, 1e-6, "%s at %v", c.sys.name, where)
	}
}

func TestCheckJacobianFindsMistakes(t *testing.T) {
	y, scale := []float64{1.3, 2.9}, []float64{1, 1}
	right := pair()

	for e, rc := range right.pattern.Entries() {
		wrong := pair()
		wrong.jac = func(t float64, y, jac, dfdt []float64) {
			right.jac(t, y, jac, dfdt)
			jac[e] *= 1.001
		}
		worst, where, err := CheckJacobian(wrong, 0.7, y, scale)
		require.NoError(t, err)
		assert.InDelta(t, 1e-3, worst, 1e-5)
		assert.Equal(t, rc, where)
	}

	wrong := pair()
	wrong.jac = func(t float64, y, jac, dfdt []float64) {
		right.jac(t, y, jac, dfdt)
		dfdt[1] = 0
	}
	worst, where, err := CheckJacobian(wrong, 0.7, y, scale)
	require.NoError(t, err)
	assert.InDelta(t, 1, worst, 1e-9)
	assert.Equal(t, [2]int{1, -1}, where, "time derivative of the second rate")

	narrow := pair()
	narrow.pattern = mustPattern(2, [][2]int{{1, 1}, {0, 0}, {1, 0}})
	narrow.jac = func(t float64, y, jac, dfdt []float64) {
		var all [4]float64
		right.jac(t, y, all[:], dfdt)
		copy(jac, all[:3])
	}
	_, _, err = CheckJacobian(narrow, 0.7, y, scale)
	assert.ErrorContains(t, err, "rate 0 depends on state 1")
}

func TestCheckJacobianRefusals(t *testing.T) {
	_, _, err := CheckJacobian(pair(), 0, []float64{1}, []float64{1, 1})
	assert.Error(t, err)
	_, _, err = CheckJacobian(pair(), 0, []float64{1, 1}, []float64{1, 0})
	assert.ErrorContains(t, err, "scale of state 1")
	_, _, err = CheckJacobian(&problemWithout{pair()}, 0, []float64{1, 1}, []float64{1, 1})
	assert.ErrorContains(t, err, "pattern")
}
