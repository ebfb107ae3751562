package fit

import (
	"slices"
	"sync"
)

// recent remembers what the last cars missed: weighing the gauges anew asks for the
// same cars again. It may be used from several goroutines.
type recent struct {
	mu    sync.Mutex
	cars  [][]float64
	found [][]float64
}

// remembered is enough for a point with all its differences.
const remembered = 40

func (r *recent) find(car []float64) []float64 {
	r.mu.Lock()
	defer r.mu.Unlock()
	for i := range r.cars {
		if slices.Equal(r.cars[i], car) {
			return r.found[i]
		}
	}
	return nil
}

func (r *recent) keep(car, misses []float64) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.cars, r.found = append(r.cars, car), append(r.found, misses)
	if len(r.cars) > remembered {
		r.cars, r.found = r.cars[1:], r.found[1:]
	}
}
