//go:build sundials

package main

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/bench/classic"
	"kneepoint/internal/bench/cvode/native"
)

// Both sides of the classic problems must see the same rates and Jacobian, which must
// be the derivative of the rates.
func TestCVODESeesTheSameClassics(t *testing.T) {
	for _, p := range classic.All() {
		t.Run(p.Name, func(t *testing.T) {
			c, err := newStiff(p)
			require.NoError(t, err)
			tables, err := native.NewTables(&c.F, &c.columns, c.End().Time)
			require.NoError(t, err)
			defer tables.Free()
			n := c.Size()
			y, dy, theirs := make([]float64, n), make([]float64, n), make([]float64, n)
			for i := range y {
				y[i] = 0.3 + 0.1*float64(i)
			}
			c.Rates(0, y, dy)
			tables.Rates(y, theirs)
			assert.Equal(t, dy, theirs)

			sparse, dense := make([]float64, c.pattern.Len()), make([]float64, n*n)
			c.Jacobian(0, y, sparse, nil)
			tables.Jacobian(y, dense)
			spread := make([]float64, n*n)
			for e, rc := range c.pattern.Entries() {
				spread[rc[1]*n+rc[0]] = sparse[e]
			}
			assert.Equal(t, spread, dense)

			// The rates are cubic at most: a difference over ±h errs by the third
			// derivative times h²/6, and by rounding.
			const h = 1e-4
			up, down := make([]float64, n), make([]float64, n)
			for col := range n {
				keep := y[col]
				y[col] = keep + h
				c.Rates(0, y, up)
				y[col] = keep - h
				c.Rates(0, y, down)
				y[col] = keep
				for row := range n {
					size := math.Abs(up[row]) + math.Abs(down[row])
					assert.InDelta(t, (up[row]-down[row])/(2*h), dense[col*n+row], 1e-6*size+1e-9, "%d, %d", row, col)
				}
			}
		})
	}
}

func TestTimesBesideCVODEAreReadOffALine(t *testing.T) {
	k := &contender{}
	for _, e := range []float64{1e-3, 1e-4, 1e-5, 3e-6, 1e-6} {
		// Time goes with the error to the power of -1/4.
		k.points = append(k.points, &point{off: []float64{0, e}, cpu: []float64{99, math.Pow(e, -0.25), 0}})
	}
	assert.InEpsilon(t, math.Pow(2e-5, -0.25), k.at(2e-5), 1e-12)
	assert.InEpsilon(t, math.Pow(0.5e-6, -0.25), k.at(0.5e-6), 1e-12)
	assert.True(t, math.IsNaN(k.at(1e-8)), "far from every point")
	_, name := best([]*contender{{name: "nothing"}, {name: "slow", points: k.points}}, 1e-5)
	assert.Equal(t, "slow", name)
}
