//go:build sundials

// Workprecision times the project's integrator against CVODE of SUNDIALS, driven from
// C on the same equations in C, and against SciPy's solvers: processor time for the
// error achieved, all in one run.
//
//	go -C internal/bench run -tags sundials ./cvode/workprecision -o testdata/workprecision-2026-01-31
package main

import (
	"bufio"
	"bytes"
	"cmp"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"runtime"
	"slices"
	"strings"
	"time"

	"kneepoint/internal/bench/classic"
	"kneepoint/internal/bench/cvode/native"
	"kneepoint/internal/chart"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

type settings struct {
	output, python string
	rounds         int
	quick          bool
}

func main() {
	var s settings
	flag.StringVar(&s.output, "o", "", "write NAME.md and NAME*.svg instead of printing the text")
	flag.StringVar(&s.python, "python", "/usr/bin/python3", "a Python with SciPy; empty leaves SciPy out")
	flag.IntVar(&s.rounds, "rounds", 9, "number of timings of each run, of which the median counts")
	flag.BoolVar(&s.quick, "quick", false, "a short run to see that all works: one car, one tolerance of SciPy, three rounds")
	flag.Parse()
	runtime.GOMAXPROCS(1)
	if err := compare(s); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func compare(s settings) error {
	r := &results{began: time.Now(), rounds: s.rounds, quick: s.quick, machine: machine(), load: load(), versions: []string{runtime.Version(), native.Version(), compiler()}}
	which, sciPyRels := drives, []float64{1e-4, 1e-5, 1e-6, 1e-7}
	if s.quick {
		r.rounds, which, sciPyRels = min(r.rounds, 3), drives[:1], []float64{1e-3}
	}
	for i, d := range which {
		c, err := prepare(d)
		if err != nil {
			return err
		}
		r.cars = append(r.cars, c)
		// SciPy takes longer than all others together: one car, runs spread over the rounds.
		var runs []func() error
		if i == 0 && s.python != "" {
			py, err := newSciPy(s.python)
			if err != nil {
				return err
			}
			defer py.close()
			jobs, to := py.jobs(sciPyRels)
			c.others = to
			for _, job := range jobs {
				runs = append(runs, func() error { return py.run(c.car, job) })
			}
			if err := rounds(r.rounds, append([]*contender{c.us}, c.them...), runs); err != nil {
				return err
			}
			for _, k := range to {
				slices.SortFunc(k.points, func(a, b *point) int { return cmp.Compare(b.rel, a.rel) })
			}
			r.versions = append(r.versions, py.version)
			continue
		}
		if err := rounds(r.rounds, append([]*contender{c.us}, c.them...), nil); err != nil {
			return err
		}
	}
	for _, p := range classic.All() {
		problem, err := newStiff(p)
		if err != nil {
			return err
		}
		c, err := problem.prepare()
		if err != nil {
			return err
		}
		if err := rounds(r.rounds, []*contender{c.us, c.them}, nil); err != nil {
			return err
		}
		r.classics = append(r.classics, c)
	}
	return r.write(s.output)
}

func prepare(d drive) (*carResult, error) {
	c, err := newCar(d)
	if err != nil {
		return nil, err
	}
	r := &carResult{car: c}
	if r.us, err = c.ours(halfDecades(-3, -7.5)); err != nil {
		return nil, err
	}
	tight, err := c.ours([]float64{1e-9})
	if err != nil {
		return nil, err
	}
	copy(r.tight[:], tight.points[0].off)
	for _, v := range []struct {
		name   string
		scales []float64
		order  int
		rels   []float64
	}{
		{"CVODE", c.scales, 5, halfDecades(-4, -9)},
		{"CVODE, order to 4", c.scales, 4, halfDecades(-4, -9)},
		// Never the best so far: whole decades are enough to see whether it becomes so.
		{"CVODE, plain sizes", c.plain(0.1), 5, []float64{1e-4, 1e-5, 1e-6, 1e-7, 1e-8, 1e-9}},
	} {
		k, err := c.cvode(v.name, v.scales, v.order, v.rels)
		if err != nil {
			return nil, err
		}
		r.them = append(r.them, k)
	}
	return r, nil
}

// rounds times every point of every contender n times, one contender after the other
// at each tolerance, and does the other runs in between.
func rounds(n int, of []*contender, between []func() error) error {
	most := 0
	for _, k := range of {
		most = max(most, len(k.points))
	}
	for i := range n {
		for j := range most {
			for _, k := range of {
				if j < len(k.points) {
					if err := k.points[j].time(); err != nil {
						return err
					}
				}
			}
		}
		for j, run := range between {
			if j%n == i {
				if err := run(); err != nil {
					return err
				}
			}
		}
	}
	for _, k := range of {
		for _, p := range k.points {
			if p.free != nil {
				p.free()
			}
		}
	}
	return nil
}

// panelHeight is in points.
const panelHeight = 210

func (r *results) write(name string) error {
	text := r.text()
	if name == "" {
		fmt.Print(text)
		return nil
	}
	for end, fig := range map[string]answer.Figure{"": r.figure(), "-classic": r.classicFigure()} {
		var b bytes.Buffer
		size := chart.Size{Height: max(2, float64(len(fig.Panels))) * panelHeight}
		if _, err := chart.RenderLayout(fig, si.SI, "svg", size, &b); err != nil {
			return err
		}
		if err := os.WriteFile(name+end+".svg", b.Bytes(), 0o666); err != nil {
			return err
		}
	}
	return os.WriteFile(name+".md", []byte(text), 0o666)
}

// machine names the processor.
func machine() string {
	f, err := os.Open("/proc/cpuinfo")
	if err != nil {
		return runtime.GOARCH
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if key, value, ok := strings.Cut(lines.Text(), ":"); ok && strings.TrimSpace(key) == "model name" {
			return fmt.Sprintf("%s, %d cores, one thread used", strings.TrimSpace(value), runtime.NumCPU())
		}
	}
	return runtime.GOARCH
}

// load is the machine's mean number of running programs over the last minute; timings
// are to be trusted where it is no more than this program itself.
func load() string {
	text, err := os.ReadFile("/proc/loadavg")
	if err != nil {
		return "unknown"
	}
	first, _, _ := strings.Cut(string(text), " ")
	return first
}

func compiler() string {
	out, err := exec.Command("cc", "--version").Output()
	if err != nil {
		return "C compiler unknown"
	}
	line, _, _ := strings.Cut(string(out), "\n")
	return line + " -O2"
}
