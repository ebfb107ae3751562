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
	sides := make([]side, 2*k)
	next := make(chan int)
	var group sync.WaitGroup
	var failed sync.Mutex
	for range min(runtime.GOMAXPROCS(0), len(sides)) {
		group.Go(func() {
			for i := range next {
				x := slices.Clone(p.x)
				x[i/2] += s.p.Step * float64(2*(i%2)-1)
				x = s.clamp(x)
				r, err := s.p.Residuals(s.ctx, x)
				if s.ctx.Err() != nil {
					failed.Lock()
					s.failed = s.ctx.Err()
					failed.Unlock()
				}
				if err == nil && len(r) == n {
					sides[i] = side{x[i/2], r}
				}
			}
		})
	}
	for i := range sides {
		next <- i
	}
	close(next)
	group.Wait()
	here := s.clamp(p.x)
	for j := range k {
		low, high := sides[2*j], sides[2*j+1]
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

// side is the model a little to one side; without residuals it is impossible.
type side struct {
	x         float64
	residuals []float64
}
