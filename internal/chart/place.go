package chart

import (
	"math"

	"gonum.org/v1/plot/vg"
)

// A placer finds room for text in a data area: it knows what is drawn there and
// what has been placed already, and takes the candidate in whose way least stands.
type placer struct {
	area  vg.Rectangle
	lines [][]vg.Point
	boxes []vg.Rectangle
}

// A spot is a candidate place for a box. A leader, where there is one, runs from
// the point it explains to the box.
type spot struct {
	box    vg.Rectangle
	leader []vg.Point
	// bias makes one of two equally free places the better.
	bias float64
}

// What stands in the way is priced in points of covered line.
const (
	costPerLine    = 1.0
	costPerOverlap = 0.4 // each square point of another box
	costTouching   = 200.0
	costCrossing   = 12.0
	costOutside    = 1e7
)

func (p *placer) cost(s spot) float64 {
	cost := s.bias
	b := s.box
	if b.Min.X < p.area.Min.X || b.Min.Y < p.area.Min.Y || b.Max.X > p.area.Max.X || b.Max.Y > p.area.Max.Y {
		cost += costOutside
	}
	padded := grow(b, 3)
	for _, o := range p.boxes {
		cost += costPerOverlap * overlap(padded, o)
		if overlap(b, o) > 0 {
			cost += costTouching
		}
		if len(s.leader) == 2 && clippedLength(s.leader[0], s.leader[1], o) > 0 {
			cost += 4 * costCrossing
		}
	}
	for _, line := range p.lines {
		for i := 1; i < len(line); i++ {
			a, z := line[i-1], line[i]
			if l := clippedLength(a, z, padded); l > 0 {
				cost += costPerLine * l
			}
			if len(s.leader) == 2 && crosses(a, z, s.leader[0], s.leader[1]) {
				cost += costCrossing
			}
		}
	}
	return cost
}

// take returns the best spot and keeps its place; false when that leaves the area,
// lies on other text or has no width (a text of combining signs alone), so that the
// text is better left out.
func (p *placer) take(spots []spot) (spot, bool) {
	best, least := p.look(spots)
	if size := best.box.Size(); least >= costOutside || size.X <= 0 || size.Y <= 0 {
		return spot{}, false
	}
	for _, o := range p.boxes {
		if overlap(best.box, o) > 0 {
			return spot{}, false
		}
	}
	p.boxes = append(p.boxes, best.box)
	return best, true
}

// look returns the best spot and its cost.
func (p *placer) look(spots []spot) (spot, float64) {
	var best spot
	least := math.Inf(1)
	for _, s := range spots {
		if c := p.cost(s); c < least {
			best, least = s, c
		}
	}
	return best, least
}

func overlap(a, b vg.Rectangle) float64 {
	w := min(a.Max.X, b.Max.X) - max(a.Min.X, b.Min.X)
	h := min(a.Max.Y, b.Max.Y) - max(a.Min.Y, b.Min.Y)
	if w <= 0 || h <= 0 {
		return 0
	}
	return float64(w * h)
}

// clippedLength is the length of a–z inside r (Liang and Barsky's clipping).
func clippedLength(a, z vg.Point, r vg.Rectangle) float64 {
	d := z.Sub(a)
	from, to := 0.0, 1.0
	for _, edge := range []struct{ run, room vg.Length }{
		{-d.X, a.X - r.Min.X}, {d.X, r.Max.X - a.X},
		{-d.Y, a.Y - r.Min.Y}, {d.Y, r.Max.Y - a.Y},
	} {
		run, room := float64(edge.run), float64(edge.room)
		if run == 0 {
			if room < 0 {
				return 0
			}
			continue
		}
		at := room / run
		if run < 0 {
			from = max(from, at)
		} else {
			to = min(to, at)
		}
		if from >= to {
			return 0
		}
	}
	return (to - from) * math.Hypot(float64(d.X), float64(d.Y))
}

func crosses(a, b, c, d vg.Point) bool {
	side := func(p, q, r vg.Point) float64 {
		return float64((q.X-p.X)*(r.Y-p.Y) - (q.Y-p.Y)*(r.X-p.X))
	}
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

// around are places for a box of the given size about a point: sixteen directions
// at growing distance, the upper right first.
func around(at vg.Point, size vg.Point, area vg.Rectangle) []spot {
	var spots []spot
	for ring, gap := range []vg.Length{12, 20, 32, 48, 70, 100, 140, 190, 260} {
		for k := range 16 {
			sin, cos := math.Sincos(math.Pi/4 + float64(k)*math.Pi/8)
			// The box touches the ray with the side that faces the point.
			tip := vg.Point{X: at.X + gap*vg.Length(cos), Y: at.Y + gap*vg.Length(sin)}
			centre := vg.Point{
				X: tip.X + vg.Length(facing(cos))*size.X/2,
				Y: tip.Y + vg.Length(facing(sin))*size.Y/2,
			}
			box := rect(centre.X-size.X/2, centre.Y-size.Y/2, centre.X+size.X/2, centre.Y+size.Y/2)
			turn := math.Min(float64(k), float64(16-k))
			s := spot{box: box, bias: 4*float64(ring) + 0.3*turn}
			end := nearest(grow(box, 1), at)
			length := math.Hypot(float64(end.X-at.X), float64(end.Y-at.Y))
			if length > 0 {
				// The leader begins outside the point itself.
				begin := at.Add(end.Sub(at).Scale(vg.Length(min(1, (markRadius.Points()+2)/length))))
				s.leader = []vg.Point{begin, end}
			}
			spots = append(spots, s)
		}
	}
	// When the area is small against the text, anywhere inside is better than out.
	for _, fx := range []vg.Length{0, 0.5, 1} {
		for _, fy := range []vg.Length{0, 0.5, 1} {
			room := area.Size().Sub(size)
			corner := vg.Point{X: area.Min.X + fx*room.X, Y: area.Min.Y + fy*room.Y}
			spots = append(spots, spot{
				box:  vg.Rectangle{Min: corner, Max: corner.Add(size)},
				bias: 60,
			})
			last := &spots[len(spots)-1]
			last.leader = []vg.Point{at, nearest(last.box, at)}
		}
	}
	return spots
}

// facing rounds a direction cosine to -1, 0 or 1 halves of a box, with a smooth middle.
func facing(c float64) float64 { return min(max(1.6*c, -1), 1) }

func nearest(r vg.Rectangle, p vg.Point) vg.Point {
	return vg.Point{X: min(max(p.X, r.Min.X), r.Max.X), Y: min(max(p.Y, r.Min.Y), r.Max.Y)}
}

func distance(a, b vg.Point) float64 {
	return math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y))
}
