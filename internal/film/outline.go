package film

import (
	"math"
	"slices"
)

// A point is a place in the plane, y downwards.
type point struct{ x, y float64 }

// kinds of a segment.
type segmentKind byte

const (
	moves segmentKind = iota
	line
	quadratic
	cubic
	closes
)

// A segment leads from the last point to its own last.
type segment struct {
	kind segmentKind
	p    [3]point
}

// An outline is a path. Once it is drawn nothing changes it: pictures share them.
type outline struct{ segments []segment }

func (o *outline) moveTo(p point) { o.segments = append(o.segments, segment{moves, [3]point{p}}) }
func (o *outline) lineTo(p point) {
	if len(o.segments) == 0 {
		o.moveTo(p)
		return
	}
	o.segments = append(o.segments, segment{line, [3]point{p}})
}
func (o *outline) quadTo(a, p point) {
	o.segments = append(o.segments, segment{quadratic, [3]point{a, p}})
}
func (o *outline) cubicTo(a, b, p point) {
	o.segments = append(o.segments, segment{cubic, [3]point{a, b, p}})
}
func (o *outline) close() { o.segments = append(o.segments, segment{kind: closes}) }

// sofar returns an outline that what is added later does not change.
func (o *outline) sofar() *outline { return &outline{slices.Clip(o.segments)} }

// moved returns the outline at another place.
func (o *outline) moved(dx, dy float64) *outline {
	out := &outline{make([]segment, len(o.segments))}
	for i, s := range o.segments {
		for k := range s.p {
			s.p[k] = point{s.p[k].x + dx, s.p[k].y + dy}
		}
		out.segments[i] = s
	}
	return out
}

// quarter is how far the handles of a quarter of a circle reach, of its radius.
const quarter = 0.5522847498

func (o *outline) ellipse(c point, rx, ry float64) {
	kx, ky := quarter*rx, quarter*ry
	o.moveTo(point{c.x + rx, c.y})
	o.cubicTo(point{c.x + rx, c.y + ky}, point{c.x + kx, c.y + ry}, point{c.x, c.y + ry})
	o.cubicTo(point{c.x - kx, c.y + ry}, point{c.x - rx, c.y + ky}, point{c.x - rx, c.y})
	o.cubicTo(point{c.x - rx, c.y - ky}, point{c.x - kx, c.y - ry}, point{c.x, c.y - ry})
	o.cubicTo(point{c.x + kx, c.y - ry}, point{c.x + rx, c.y - ky}, point{c.x + rx, c.y})
	o.close()
}

// rectangle has corners rounded by r; one without area has no outline.
func rectangle(x, y, w, h, r float64) *outline {
	o := &outline{}
	if w <= 0 || h <= 0 {
		return o
	}
	r = min(r, w/2, h/2)
	if r <= 0 {
		o.moveTo(point{x, y})
		o.lineTo(point{x + w, y})
		o.lineTo(point{x + w, y + h})
		o.lineTo(point{x, y + h})
		o.close()
		return o
	}
	k := r * (1 - quarter)
	o.moveTo(point{x + r, y})
	o.lineTo(point{x + w - r, y})
	o.cubicTo(point{x + w - k, y}, point{x + w, y + k}, point{x + w, y + r})
	o.lineTo(point{x + w, y + h - r})
	o.cubicTo(point{x + w, y + h - k}, point{x + w - k, y + h}, point{x + w - r, y + h})
	o.lineTo(point{x + r, y + h})
	o.cubicTo(point{x + k, y + h}, point{x, y + h - k}, point{x, y + h - r})
	o.lineTo(point{x, y + r})
	o.cubicTo(point{x, y + k}, point{x + k, y}, point{x + r, y})
	o.close()
	return o
}

// A contour is an outline's part as a row of points, in pixels.
type contour struct {
	points []point
	closed bool
}

// bend is how far, in pixels, a straight piece may lie off a curve.
const bend = 0.1

// contours carries an outline over to pixels and makes straight pieces of it.
func (o *outline) contours(m matrix) []contour {
	var out []contour
	var now contour
	end := func() {
		if len(now.points) > 1 {
			out = append(out, now)
		}
		now = contour{}
	}
	for _, s := range o.segments {
		switch s.kind {
		case moves:
			end()
			now.points = append(now.points, m.apply(s.p[0]))
		case closes:
			if len(now.points) == 0 {
				continue
			}
			first := now.points[0]
			now.closed = true
			end()
			now.points = append(now.points, first)
		case line:
			now.points = append(now.points, m.apply(s.p[0]))
		default:
			a := now.points[len(now.points)-1]
			b, c, d := m.apply(s.p[0]), m.apply(s.p[1]), m.apply(s.p[2])
			if s.kind == quadratic {
				d = c
				c = point{d.x + 2./3*(b.x-d.x), d.y + 2./3*(b.y-d.y)}
				b = point{a.x + 2./3*(b.x-a.x), a.y + 2./3*(b.y-a.y)}
			}
			now.points = appendCubic(now.points, a, b, c, d)
		}
	}
	end()
	return out
}

func appendCubic(to []point, a, b, c, d point) []point {
	off := math.Max(math.Hypot(a.x-2*b.x+c.x, a.y-2*b.y+c.y), math.Hypot(b.x-2*c.x+d.x, b.y-2*c.y+d.y))
	n := int(math.Ceil(math.Sqrt(0.75 * off / bend)))
	n = min(max(n, 1), 200)
	for i := 1; i <= n; i++ {
		t := float64(i) / float64(n)
		u := 1 - t
		k0, k1, k2, k3 := u*u*u, 3*u*u*t, 3*u*t*t, t*t*t
		to = append(to, point{k0*a.x + k1*b.x + k2*c.x + k3*d.x, k0*a.y + k1*b.y + k2*c.y + k3*d.y})
	}
	return to
}
