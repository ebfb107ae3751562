package diagnose

import "slices"

// A region is a range of outcomes, in bins, in which the same class is the most
// likely one and gains by the test, or loses: one that stays in front means
// something else where it gains.
type region struct {
	from, to float64
	front    int // of the forecast's classes
	gains    bool
	chance   float64
}

// regions cuts the outcomes where another class comes to the front, or the one in
// front begins to gain or to lose. Between the middles of bins the chances are
// straight lines, so that a cut moves with what is believed and does not jump from
// bin to bin.
func (f *forecast) regions() []region {
	if f.trial.IsYesNo() || f.trial.Counts() {
		return f.whole()
	}
	front := f.frontOf(0)
	out := []region{{front: front, gains: f.gain(front, 0, 0) >= 0}}
	cut := func(at float64, front int, gains bool) {
		last := &out[len(out)-1]
		if last.front != front || last.gains != gains {
			last.to = at
			out = append(out, region{from: at, front: front, gains: gains})
		}
	}
	for k := range f.n - 1 {
		middle := float64(k) + 0.5
		for at := 0.0; ; {
			next, until := f.overtaken(front, k, at)
			begin, end := f.gain(front, k, at), f.gain(front, k, until)
			cut(middle+at, front, begin >= 0)
			if begin >= 0 != (end >= 0) {
				cut(middle+at+(until-at)*begin/(begin-end), front, end >= 0)
			}
			if next == front {
				break
			}
			front, at = next, until
		}
	}
	out[len(out)-1].to = float64(f.n)
	for i := range out {
		out[i].chance = within(f.total, out[i].from, out[i].to)
	}
	return out
}

// whole is the regions of outcomes that are answers or counts: whole bins.
func (f *forecast) whole() []region {
	var out []region
	for k := range f.n {
		front := f.frontOf(k)
		s := region{float64(k), float64(k + 1), front, f.total[k] > 0 && f.gain(front, k, 0) >= 0, f.total[k]}
		if n := len(out); n > 0 && out[n-1].front == s.front && out[n-1].gains == s.gains && !f.trial.IsYesNo() {
			out[n-1].to, out[n-1].chance = s.to, out[n-1].chance+s.chance
			continue
		}
		out = append(out, s)
	}
	return out
}

// frontOf is the most likely class in a bin.
func (f *forecast) frontOf(k int) int {
	front := 0
	for c := range f.joint {
		if f.joint[c][k] > f.joint[front][k] {
			front = c
		}
	}
	return front
}

// gain is by how much more likely a class is together with an outcome than by
// itself, at a share of the way from the middle of a bin to that of the next.
func (f *forecast) gain(c, k int, share float64) float64 {
	here := f.joint[c][k] - f.prior[c]*f.total[k]
	if share == 0 {
		return here
	}
	return here + share*(f.joint[c][k+1]-f.prior[c]*f.total[k+1]-here)
}

// overtaken returns which class next comes before the one in front, and where
// between the middles of a bin and the next; the one in front itself, and 1, if it
// stays there.
func (f *forecast) overtaken(front, k int, from float64) (next int, at float64) {
	next, at = front, 1
	mine := f.joint[front]
	for c, v := range f.joint {
		lead, end := mine[k]-v[k], mine[k+1]-v[k+1]
		if end >= 0 {
			continue
		}
		if share := max(from, lead/(lead-end)); share < at {
			next, at = c, share
		}
	}
	return next, at
}

// within is the chance of the outcomes between two places, in bins.
func within(chances []float64, from, to float64) float64 {
	sum := 0.0
	for k := int(from); k < len(chances) && float64(k) < to; k++ {
		sum += chances[k] * (min(to, float64(k+1)) - max(from, float64(k)))
	}
	return sum
}

// rareOutcome is the chance below which an outcome is told together with its
// neighbour.
const rareOutcome = 0.03

// joinRare joins every region too rare to be told by itself with the likelier of
// its neighbours.
func joinRare(all []region) []region {
	for len(all) > 1 {
		rare := 0
		for i, s := range all {
			if s.chance < all[rare].chance {
				rare = i
			}
		}
		if all[rare].chance >= rareOutcome {
			break
		}
		into := rare - 1
		if rare == 0 || rare < len(all)-1 && all[rare+1].chance > all[into].chance {
			into = rare + 1
		}
		first, last := min(rare, into), max(rare, into)
		all[first].to, all[first].chance = all[last].to, all[first].chance+all[last].chance
		all = slices.Delete(all, last, last+1)
	}
	return all
}
