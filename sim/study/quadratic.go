package study

import "math"

// A quadratic is a polynomial of second order over the unit cube, by least squares
// through values at some points.
type quadratic struct {
	coefficients []float64
	// worst and typical are the greatest and the root mean square of what it is off by at
	// each of the points when that one is left out.
	worst, typical float64
}

// terms are the monomials of a quadratic, from -1 to 1 in each input.
func terms(u []float64) []float64 {
	out := []float64{1}
	for i := range u {
		out = append(out, 2*u[i]-1)
	}
	for i := range u {
		for j := range i + 1 {
			out = append(out, out[1+i]*out[1+j])
		}
	}
	return out
}

func (q *quadratic) at(u []float64) float64 { return dot(q.coefficients, terms(u)) }

// quadratics fits one to each column of values, which has a row for each point. There is
// none where the points are too few or do not tell the terms apart. Sums are plain loops:
// a figure has to be the same in a browser.
func quadratics(points, values [][]float64) []quadratic {
	rows := make([][]float64, len(points))
	for i, u := range points {
		rows[i] = terms(u)
	}
	n := len(rows[0])
	normal := make([][]float64, n) // and then its Cholesky factor
	for i := range normal {
		normal[i] = make([]float64, n)
		for j := range i + 1 {
			for _, r := range rows {
				normal[i][j] += r[i] * r[j]
			}
			sum := normal[i][j] - dot(normal[i][:j], normal[j][:j])
			switch {
			case j < i:
				normal[i][j] = sum / normal[j][j]
			case sum > 1e-9*float64(len(rows)):
				normal[i][i] = math.Sqrt(sum)
			default:
				return nil
			}
		}
	}
	forward := func(b []float64) []float64 {
		x := make([]float64, n)
		for i := range x {
			x[i] = (b[i] - dot(normal[i][:i], x[:i])) / normal[i][i]
		}
		return x
	}
	out := make([]quadratic, len(values[0]))
	for c := range out {
		right := make([]float64, n)
		for k, r := range rows {
			for i := range right {
				right[i] += r[i] * values[k][c]
			}
		}
		x := forward(right)
		for i := n - 1; i >= 0; i-- {
			for j := i + 1; j < n; j++ {
				x[i] -= normal[j][i] * x[j]
			}
			x[i] /= normal[i][i]
		}
		q := quadratic{coefficients: x}
		for k, r := range rows {
			h := forward(r)
			off := math.Abs(values[k][c]-dot(x, r)) / (1 - dot(h, h))
			q.worst = max(q.worst, off)
			q.typical += off * off / float64(len(rows))
		}
		q.typical = math.Sqrt(q.typical)
		out[c] = q
	}
	return out
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}
