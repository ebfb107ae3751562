//go:build sundials

package main

import (
	"bytes"
	_ "embed"
	"encoding/binary"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"

	"kneepoint/internal/bench/cvode/native"
)

//go:embed scipy.py
var script string

// sciPy runs SciPy's solvers on a car, each tolerance once: they are slow.
type sciPy struct {
	python, dir, library string
	version              string
}

func newSciPy(python string) (*sciPy, error) {
	dir, err := os.MkdirTemp("", "workprecision")
	if err != nil {
		return nil, err
	}
	library, err := native.Library(dir)
	return &sciPy{python: python, dir: dir, library: library}, err
}

func (s *sciPy) close() { _ = os.RemoveAll(s.dir) }

// methods are SciPy's solvers for stiff problems.
var methods = []string{"Radau", "BDF", "LSODA"}

type sciPyJob struct {
	to     *contender
	method string
	rel    float64
}

// jobs are the runs wanted, for the contenders they fill.
func (s *sciPy) jobs(rels []float64) (jobs []sciPyJob, to []*contender) {
	for _, m := range methods {
		k := &contender{name: "SciPy " + m}
		to = append(to, k)
		for _, rel := range rels {
			jobs = append(jobs, sciPyJob{k, m, rel})
		}
	}
	return jobs, to
}

func (s *sciPy) run(c *car, job sciPyJob) error {
	equations, pieces := c.native.Bytes()
	var ends []float64
	for _, p := range c.pieces {
		ends = append(ends, p.End)
	}
	samples := filepath.Join(s.dir, "samples")
	ask, err := json.Marshal(map[string]any{
		"library": s.library, "equations": hex.EncodeToString(equations), "pieces": hex.EncodeToString(pieces),
		"ends": ends, "y0": c.y0, "atol": c.scaled(c.scales, job.rel), "rtol": job.rel, "times": c.times,
		"method": job.method, "samples": samples,
	})
	if err != nil {
		return err
	}
	var out, wrong bytes.Buffer
	cmd := exec.Command(s.python, "-c", script)
	cmd.Env = append(os.Environ(), "OMP_NUM_THREADS=1", "OPENBLAS_NUM_THREADS=1")
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(ask), &out, &wrong
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("SciPy %s at %g: %w\n%s", job.method, job.rel, err, wrong.String())
	}
	var got struct {
		Calls, Steps int
		CPU, Wall    float64
		Version      string
	}
	if err := json.Unmarshal(out.Bytes(), &got); err != nil {
		return err
	}
	raw, err := os.ReadFile(samples)
	if err != nil {
		return err
	}
	seen := make([][3]float64, len(c.times))
	if len(raw) != 24*len(seen) {
		return fmt.Errorf("SciPy wrote %d bytes of samples, want %d", len(raw), 24*len(seen))
	}
	for k := range seen {
		for i := range 3 {
			seen[k][i] = math.Float64frombits(binary.LittleEndian.Uint64(raw[24*k+8*i:]))
		}
	}
	off := c.off(seen)
	s.version = got.Version
	job.to.points = append(job.to.points, &point{
		rel: job.rel, off: off[:], cpu: []float64{got.CPU}, rates: got.Calls, steps: got.Steps,
		note: fmt.Sprintf("%.2f s wall", got.Wall),
	})
	return nil
}
