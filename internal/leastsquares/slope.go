package leastsquares

import (
	"runtime"
	"slices"
	"sync"

	"gonum.org/v1/gonum/mat"
)

// slope fills in the Jacobian of a point by central differences, on all cores. Where
// one side is impossible or beyond a limit the difference is one-sided.
func (s *solver) slope(p *point) {
	if p.jacobian != nil {
		return
	}
	n, k := len(p.residuals), len(p.x)
	p.jacobian = mat.NewDense(n, k, nil)
	sides := make([]struct{ low, high side }, k)
	next := make(chan try)
	var group sync.WaitGroup
	var failed sync.Mutex
	for range min(runtime.GOMAXPROCS(0), 2*k) {
		group.Go(func() {
			for t := range next {
				x := slices.Clone(p.x)
				x[t.unknown] += t.step
				x = s.clamp(x)
				r, err := s.p.Residuals(s.ctx, x)
				if s.ctx.Err() != nil {
					failed.Lock()
					s.failed = s.ctx.Err()
					failed.Unlock()
				}
				if err == nil && len(r) == n {
					*t.into = side{x[t.unknown], r}
				}
			}
		})
	}
	for j := range sides {
		next <- try{j, -s.p.Step, &sides[j].low}
		next <- try{j, s.p.Step, &sides[j].high}
	}
	close(next)
	group.Wait()
	here := s.clamp(p.x)
	for j := range k {
		low, high := sides[j].low, sides[j].high
		if low.residuals == nil {
			low = side{here[j], p.residuals}
		}
		if high.residuals == nil {
			high = side{here[j], p.residuals}
		}
		if high.x == low.x {
			continue // beyond its limit an unknown changes nothing
		}
		for i := range n {
			p.jacobian.Set(i, j, (high.residuals[i]-low.residuals[i])/(high.x-low.x))
		}
	}
}

// A try is a step along one unknown, and where the model is put that it leads to.
type try struct {
	unknown int
	step    float64
	into    *side
}

// side is the model a little to one side; without residuals it is impossible.
type side struct {
	x         float64
	residuals []float64
}
