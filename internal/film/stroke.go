package film

import (
	"math"

	"github.com/golang/freetype/raster"
	"golang.org/x/image/math/fixed"
)

// finest is the thinnest line that is drawn, in pixels.
const finest = 0.5

// mitreLimit is where SVG cuts a corner off, as the ratio of its length to the width.
const mitreLimit = 4

// stroke adds the outline of a pen's line to the rasterizer.
func (p *painter) stroke(m *mark) {
	scale := m.at.scale()
	width := fixed.Int26_6(math.Round(64 * max(finest, m.pen.width*scale)))
	joiner, capper := raster.Joiner(raster.JoinerFunc(mitre)), raster.ButtCapper
	if m.pen.join == rounded {
		joiner = raster.RoundJoiner
	}
	if m.pen.roundEnd {
		capper = raster.RoundCapper
	}
	for _, c := range m.shape.contours(m.at) {
		points := c.points
		if c.closed {
			points = closedFromTheMiddle(points)
		}
		for _, piece := range dashed(points, m.pen.dash, scale) {
			if path := pathOf(piece); path != nil {
				p.raster.AddStroke(path, width, capper, joiner)
			}
		}
	}
}

// closedFromTheMiddle opens a closed row of points in the middle of its first piece, so
// that every corner is joined and the ends meet where they do not show.
func closedFromTheMiddle(points []point) []point {
	for len(points) > 1 && points[len(points)-1] == points[0] {
		points = points[:len(points)-1]
	}
	if len(points) < 2 {
		return points
	}
	middle := point{(points[0].x + points[1].x) / 2, (points[0].y + points[1].y) / 2}
	out := make([]point, 0, len(points)+2)
	out = append(out, middle)
	out = append(out, points[1:]...)
	return append(out, points[0], middle)
}

// dashed cuts a row of points into the dashes of a pattern.
func dashed(points []point, dash []float64, scale float64) [][]point {
	if len(dash) == 0 {
		return [][]point{points}
	}
	var out [][]point
	var now []point
	k, left, on := 0, dash[0]*scale, true
	for i, q := range points {
		if i == 0 {
			now = []point{q}
			continue
		}
		from := points[i-1]
		length := math.Hypot(q.x-from.x, q.y-from.y)
		for done := 0.0; ; {
			if length-done < left || left <= 0 && length == done {
				left -= length - done
				if on {
					now = append(now, q)
				}
				break
			}
			done += left
			share := done / length
			cut := point{from.x + share*(q.x-from.x), from.y + share*(q.y-from.y)}
			if on {
				out = append(out, append(now, cut))
				now = nil
			} else {
				now = []point{cut}
			}
			on = !on
			k = (k + 1) % len(dash)
			left = max(dash[k]*scale, 0.01)
		}
	}
	if on && len(now) > 1 {
		out = append(out, now)
	}
	return out
}

// pathOf leaves out points that fall on the one before them; nil is nothing to draw.
func pathOf(points []point) raster.Path {
	var path raster.Path
	var last fixed.Point26_6
	n := 0
	for _, q := range points {
		f := fixedPoint(q)
		switch {
		case n == 0:
			path.Start(f)
		case f == last:
			continue
		default:
			path.Add1(f)
		}
		last = f
		n++
	}
	if n < 2 {
		return nil
	}
	return path
}

// mitre joins two pieces in a point, and flat where that would reach too far.
func mitre(lhs, rhs raster.Adder, half fixed.Int26_6, pivot, n0, n1 fixed.Point26_6) {
	x0, y0, x1, y1 := float64(n0.X), float64(n0.Y), float64(n1.X), float64(n1.Y)
	w := float64(half)
	cos := (x0*x1 + y0*y1) / (w * w)
	reach := math.Sqrt(2 / max(1+cos, 1e-9)) // of half the width
	if reach <= mitreLimit && cos < 0.999 {
		// The tip lies along the sum of the two normals.
		k := 1 / (1 + cos)
		tip := fixed.Point26_6{X: fixed.Int26_6(math.Round(k * (x0 + x1))), Y: fixed.Int26_6(math.Round(k * (y0 + y1)))}
		if x0*y1-y0*x1 > 0 {
			lhs.Add1(pivot.Add(tip))
		} else {
			rhs.Add1(pivot.Sub(tip))
		}
	}
	lhs.Add1(pivot.Add(n1))
	rhs.Add1(pivot.Sub(n1))
}
