//go:build sundials

// Workprecision times the project's integrator against CVODE of SUNDIALS, driven from
// C on the same equations in C, and against SciPy's solvers: processor time for the
// error achieved, all in one run.
//
//	go run -tags sundials ./internal/cvode/workprecision -o testdata/workprecision-2026-01-31
package main

import (
	"flag"
	"fmt"
	"os"
	"runtime"
)

func main() {
	rounds := flag.Int("rounds", 9, "number of timings of each run, of which the median counts")
	flag.Parse()
	runtime.GOMAXPROCS(1)
	if err := try(*rounds); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func try(rounds int) error {
	for _, d := range drives {
		c, err := newCar(d)
		if err != nil {
			return err
		}
		us, err := c.ours(halfDecades(-3, -7.5))
		if err != nil {
			return err
		}
		tight, err := c.ours([]float64{1e-9})
		if err != nil {
			return err
		}
		fmt.Println(d, "Go, C ns", c.nanos, "reference", c.work, "ours at 1e-9 off", tight.points[0].off, "span", c.span)
		var them []*contender
		for _, v := range []struct {
			name   string
			scales []float64
			order  int
		}{
			{"CVODE", c.scales, 5},
			{"CVODE, order 4", c.scales, 4},
			{"CVODE, plain 0.1", c.plain(0.1), 5},
		} {
			k, err := c.cvode(v.name, v.scales, v.order, halfDecades(-4, -9))
			if err != nil {
				return err
			}
			them = append(them, k)
		}
		all := append([]*contender{us}, them...)
		for range rounds {
			for i := range 20 {
				for _, k := range all {
					if i < len(k.points) {
						if err := k.points[i].time(); err != nil {
							return err
						}
					}
				}
			}
		}
		for _, k := range all {
			fmt.Println(k.name)
			for _, p := range k.points {
				fmt.Printf("  %.0e  %.1e %.1e %.1e  %.2f ms (%.2f–%.2f) %d calls %d steps\n", p.rel, p.off[0], p.off[1], p.off[2], 1e3*middle(p.cpu), 1e3*min2(p.cpu), 1e3*max2(p.cpu), p.rates, p.steps)
			}
		}
		for _, e := range []float64{1e-3, 1e-4, 1e-5, 1e-6} {
			t, name := best(them, e)
			fmt.Printf("at %.0e: ours %.2f ms, %s %.2f ms, ratio %.3f\n", e, 1e3*us.at(e), name, 1e3*t, us.at(e)/t)
		}
	}
	return nil
}

func min2(v []float64) float64 {
	m := v[0]
	for _, x := range v {
		m = min(m, x)
	}
	return m
}
func max2(v []float64) float64 {
	m := v[0]
	for _, x := range v {
		m = max(m, x)
	}
	return m
}
