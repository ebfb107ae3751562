package ode

import (
	"context"
	"fmt"
)

func ExampleSolver() {
	// A heated body that loses heat: y' = 10 - y, from 0.
	p, _ := NewPattern(1, [][2]int{{0, 0}})
	body := &problem{
		pattern: p,
		rates:   func(_ float64, y, dy []float64) { dy[0] = 10 - y[0] },
		jac:     func(_ float64, _, jac, _ []float64) { jac[0] = -1 },
	}
	s, err := New(body, Tolerance{Rel: 1e-6, Abs: []float64{1e-6}})
	if err != nil {
		fmt.Println(err)
		return
	}
	s.Reset(0, []float64{0})
	if err := s.Advance(context.Background(), 1, nil); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.4f", s.State()[0])
	// Output: 6.3212
}
