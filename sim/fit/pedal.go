package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"kneepoint/sim/gaugelog"
)

// forceKnot is a corner of the pedal's course; the time is from the log's first row.
type forceKnot struct{ at, force float64 }

// The corners of the pedal's course that matter (estimates): it may miss the readings
// by a little more than they scatter.
const (
	leastBend   = 2.0   // N
	bendShare   = 0.005 // of the greatest force
	bendScatter = 4.0   // times the scatter of the readings
)

// courseOf makes a course of straight lines out of a column with the pedal's force:
// corners where the readings bend, at the forces that meet all readings best. The
// scatter is that of single readings about it, in N.
func courseOf(l *gaugelog.Log, column int) (knots []forceKnot, scatter float64) {
	var all []forceKnot
	var weights []float64
	most := 0.0
	for i := range l.Points {
		p := &l.Points[i]
		ends, weight := []float64{p.From, p.To}, float64(p.Rows)/2
		if p.From == p.To {
			ends, weight = ends[:1], float64(p.Rows)
		}
		for _, t := range ends {
			all = append(all, forceKnot{t - float64(l.From()), p.At(column, t)})
			weights = append(weights, weight)
			most = max(most, p.At(column, t))
		}
	}
	scatter = l.Columns[column].Noise
	knots = corners(all, max(leastBend, bendShare*most, bendScatter*scatter))
	bestForces(knots, all, weights)
	if n := len(all) - len(knots); !l.Thinned() && n > 0 {
		// Unlike the scatter about neighbours it does not take corners for scatter.
		scatter = min(scatter, math.Sqrt(missed(knots, all)/float64(n)))
	}
	for i := range knots {
		knots[i].force = max(0, knots[i].force)
	}
	return knots, scatter
}

// missed is what the course misses readings by, squared and added up.
func missed(knots, all []forceKnot) float64 {
	sum, k := 0.0, 0
	for _, r := range all {
		for k < len(knots)-2 && r.at > knots[k+1].at {
			k++
		}
		if k+1 < len(knots) {
			miss := r.force - onLine(knots[k], knots[k+1], r.at)
			sum += miss * miss
		}
	}
	return sum
}

// corners keeps those knots without which the course would be off by more than a
// tolerance.
func corners(all []forceKnot, tolerance float64) []forceKnot {
	keep := make([]bool, len(all))
	keep[0], keep[len(all)-1] = true, true
	stretches := [][2]int{{0, len(all) - 1}}
	for len(stretches) > 0 {
		a, b := stretches[len(stretches)-1][0], stretches[len(stretches)-1][1]
		stretches = stretches[:len(stretches)-1]
		worst, off := a, tolerance
		for i := a + 1; i < b; i++ {
			if miss := math.Abs(all[i].force - onLine(all[a], all[b], all[i].at)); miss > off {
				worst, off = i, miss
			}
		}
		if worst > a {
			keep[worst] = true
			stretches = append(stretches, [2]int{a, worst}, [2]int{worst, b})
		}
	}
	var out []forceKnot
	for i, k := range all {
		if keep[i] && (len(out) == 0 || k.at > out[len(out)-1].at) {
			out = append(out, k)
		}
	}
	return out
}

// onLine is the straight line between two knots.
func onLine(a, b forceKnot, at float64) float64 {
	if b.at == a.at {
		return a.force
	}
	return a.force + (b.force-a.force)*(at-a.at)/(b.at-a.at)
}

// bestForces moves the knots up and down so that the course through them meets all
// readings best, by least squares.
func bestForces(knots, all []forceKnot, weights []float64) {
	n := len(knots)
	if n < 2 {
		return
	}
	normal := mat.NewSymBandDense(n, 1, nil)
	right := mat.NewVecDense(n, nil)
	k := 0
	for i, r := range all {
		for k < n-2 && r.at > knots[k+1].at {
			k++
		}
		b := (r.at - knots[k].at) / (knots[k+1].at - knots[k].at)
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
	for i := range knots {
		knots[i].force = right.AtVec(i)
	}
}
