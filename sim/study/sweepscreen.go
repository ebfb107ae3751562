package study

import (
	"fmt"
	"math"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// mostPoints is how many points of a sweep a first screen has room for.
const mostPoints = 8

// Screen says between which values the measure lies, and where it changes most.
func (r *SweepResult) Screen(u si.System) answer.Screen {
	s := answer.Screen{Verdict: r.Words(u), DependsOn: r.dependsOn(u), Next: "--plot map.png draws it"}
	if len(r.Axes) == 1 && len(r.Values) <= mostPoints {
		s.Table = &r.Tables()[0]
	}
	at, _ := r.steepest()
	if path := r.Axes[at].Path; r.asked.HowToMeasure(path) != "" {
		s.Next = fmt.Sprintf("find out where this car stands on it (%s: %s); --plot map.png draws it", path, r.asked.HowToMeasure(path))
	}
	return s
}

// A step is the largest change of the measure from one value of an axis to the next.
type step struct {
	from, to int // points
	size     float64
}

// steps finds the largest step along each axis, and how far the measure goes along it.
func (r *SweepResult) steps() (largest []step, ranges []float64) {
	stride := 1
	largest, ranges = make([]step, len(r.Axes)), make([]float64, len(r.Axes))
	for k := len(r.Axes) - 1; k >= 0; k-- {
		n := len(r.Axes[k].Values)
		for i := range r.Values {
			if at := i / stride % n; at != 0 {
				continue
			}
			low, high := math.Inf(1), math.Inf(-1)
			for j := range n {
				v := r.Values[i+j*stride]
				if math.IsNaN(v) {
					continue
				}
				low, high = min(low, v), max(high, v)
				if j > 0 {
					if size := math.Abs(v - r.Values[i+(j-1)*stride]); size > largest[k].size {
						largest[k] = step{i + (j-1)*stride, i + j*stride, size}
					}
				}
			}
			ranges[k] = max(ranges[k], high-low)
		}
		stride *= n
	}
	return largest, ranges
}

// steepest is the axis along which the measure goes farthest, and its largest step there.
func (r *SweepResult) steepest() (axis int, largest step) {
	steps, ranges := r.steps()
	if len(ranges) > 1 && ranges[1] > ranges[0] {
		axis = 1
	}
	return axis, steps[axis]
}

// dependsOn names the axis along which the measure goes farthest, and where.
func (r *SweepResult) dependsOn(u si.System) string {
	at, s := r.steepest()
	if s.size == 0 {
		return "something else: it does not change here"
	}
	where := func(point int) string {
		return si.FormatFine(r.Axes[at].Dim, r.at(point)[at], u)
	}
	text := fmt.Sprintf("%s between %s and %s, where it goes from %s to %s", r.Axes[at].Path, where(s.from), where(s.to), r.text(s.from, u), r.text(s.to, u))
	if len(r.Axes) > 1 {
		text += fmt.Sprintf(", and less on %s", r.Axes[1-at].Path)
	}
	return text
}
