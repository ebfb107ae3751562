package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"kneepoint/sim/gaugelog"
)

// A breakpoint is a corner of the pedal's course; the time is from the log's first row.
type breakpoint struct{ at, force float64 }

// The corners of the pedal's course that matter (estimates): it may miss the readings
// by a little more than they scatter.
const (
	leastBend   = 2.0   // N
	bendShare   = 0.005 // of the greatest force
	bendScatter = 4.0   // times the scatter of the readings
)

// courseOf makes a course of straight lines out of a column with the pedal's force:
// corners where the readings bend, at the forces that meet all readings best. It
// counts its times from one. The scatter is that of single readings about it, in N.
func courseOf(l *gaugelog.Log, column int, from float64) (course []breakpoint, scatter float64) {
	var all []breakpoint
	var weights []float64
	most := 0.0
	for i := range l.Points {
		p := &l.Points[i]
		ends, weight := []float64{p.From, p.To}, float64(p.Rows)/2
		if p.From == p.To {
			ends, weight = ends[:1], float64(p.Rows)
		}
		for _, t := range ends {
			all = append(all, breakpoint{t - from, p.At(column, t)})
			weights = append(weights, weight)
			most = max(most, p.At(column, t))
		}
	}
	scatter = l.Columns[column].Noise
	course = corners(all, max(leastBend, bendShare*most, bendScatter*scatter))
	bestForces(course, all, weights)
	if n := len(all) - len(course); !l.Thinned() && n > 0 {
		// Unlike the scatter about neighbours it does not take corners for scatter.
		scatter = min(scatter, math.Sqrt(missed(course, all)/float64(n)))
	}
	for i := range course {
		course[i].force = max(0, course[i].force)
	}
	return course, scatter
}

// missed is what the course misses readings by, squared and added up.
func missed(course, all []breakpoint) float64 {
	sum, k := 0.0, 0
	for _, r := range all {
		for k < len(course)-2 && r.at > course[k+1].at {
			k++
		}
		if k+1 < len(course) {
			miss := r.force - onLine(course[k], course[k+1], r.at)
			sum += miss * miss
		}
	}
	return sum
}

// corners keeps those breakpoints without which the course would be off by more than a
// tolerance.
func corners(all []breakpoint, tolerance float64) []breakpoint {
	keep := make([]bool, len(all))
	keep[0], keep[len(all)-1] = true, true
	type segment struct{ from, to int }
	open := []segment{{0, len(all) - 1}}
	for len(open) > 0 {
		last := len(open) - 1
		a, b := open[last].from, open[last].to
		open = open[:last]
		worst, off := a, tolerance
		for i := a + 1; i < b; i++ {
			if miss := math.Abs(all[i].force - onLine(all[a], all[b], all[i].at)); miss > off {
				worst, off = i, miss
			}
		}
		if worst > a {
			keep[worst] = true
			open = append(open, segment{a, worst}, segment{worst, b})
		}
	}
	var out []breakpoint
	for i, k := range all {
		if keep[i] && (len(out) == 0 || k.at > out[len(out)-1].at) {
			out = append(out, k)
		}
	}
	return out
}

// onLine is the straight line between two breakpoints.
func onLine(a, b breakpoint, at float64) float64 {
	if b.at == a.at {
		return a.force
	}
	return a.force + (b.force-a.force)*(at-a.at)/(b.at-a.at)
}

// bestForces moves the breakpoints up and down so that the course through them meets all
// readings best, by least squares.
func bestForces(course, all []breakpoint, weights []float64) {
	n := len(course)
	if n < 2 {
		return
	}
	normal := mat.NewSymBandDense(n, 1, nil)
	right := mat.NewVecDense(n, nil)
	k := 0
	for i, r := range all {
		for k < n-2 && r.at > course[k+1].at {
			k++
		}
		b := (r.at - course[k].at) / (course[k+1].at - course[k].at)
		a := 1 - b
		w := weights[i]
		normal.SetSymBand(k, k, normal.At(k, k)+w*a*a)
		normal.SetSymBand(k+1, k+1, normal.At(k+1, k+1)+w*b*b)
		normal.SetSymBand(k, k+1, normal.At(k, k+1)+w*a*b)
		right.SetVec(k, right.AtVec(k)+w*a*r.force)
		right.SetVec(k+1, right.AtVec(k+1)+w*b*r.force)
	}
	var c mat.BandCholesky
	if !c.Factorize(normal) || c.SolveVecTo(right, right) != nil {
		return // the readings themselves will do
	}
	for i := range course {
		course[i].force = right.AtVec(i)
	}
}
