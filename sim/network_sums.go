package sim

import "strings"

// Sums are the calls of a car's parts, and what a network does with what they say: rates are sums of signals
// and outputs, entries of the Jacobian sums of slopes and of their products. Those of the
// usual cars are written out in network_sums_gen.go, without loops and tables, and without
// products by 1 and -1, in the order in which the loops do them. What a car has besides
// (a leak, a pump) is added by the loops, which serve all other cars whole.
type sums struct {
	size int
	// feeds and chains are what is added, in short: see the keys.
	feeds, chains string
	// rates writes the rates; the factors are those of the feeds that are not 1 or -1.
	rates func(sig *values, factors, dy []float64)
	// own are the signals that are states: of each its place and the state's.
	own string
	// has reports whether a network has the parts whose calls are written out too, of each
	// list the first ones; parts are how many.
	has   func(n *network) bool
	parts partCounts
	// observe and slopes call them.
	observe, slopes func(n *network, t float64, y []float64, sig *values)
	// jacobian writes the entries; level is what never changes of them, the factors are
	// those of singles, terms and pairs that are not 1 or -1.
	jacobian func(slope, level, factors, jac []float64)
}

// How a term is added.
const (
	plus = iota
	minus
	scaled
)

func sense(factor float64) byte {
	switch factor {
	case 1:
		return plus
	case -1:
		return minus
	}
	return scaled
}

// partCounts are the lengths of a network's lists.
type partCounts struct{ own, gases, others, passages, rest, stores, links int }

func (n *network) counts() partCounts {
	return partCounts{len(n.own), len(n.gases), len(n.others), len(n.passages), len(n.rest), len(n.stores), len(n.links)}
}

// within reports whether no list is longer than another car's.
func (c partCounts) within(d partCounts) bool {
	return c.own <= d.own && c.gases <= d.gases && c.others <= d.others && c.passages <= d.passages &&
		c.rest <= d.rest && c.stores <= d.stores && c.links <= d.links
}

func ownKeys(own []dependence) string {
	var s []byte
	for _, d := range own {
		s = append(s, byte(d.signal), byte(d.on))
	}
	return string(s)
}

func feedKeys(feeds []feed) string {
	var s []byte
	for _, f := range feeds {
		s = append(s, f.to, f.from, sense(f.factor))
	}
	return string(s)
}

// chainKeys have a slope in two bytes, since a car may have more than 256 of them.
func chainKeys(chains []chain) string {
	var s []byte
	for _, c := range chains {
		s = append(s, byte(c.row), byte(c.col), byte(c.a), byte(c.a>>8), byte(c.b), byte(c.b>>8), sense(c.factor))
	}
	return string(s)
}

const (
	bytesOfFeed  = 3
	bytesOfChain = 7
)

// writtenOut returns the sums that a network's begin with, how many of its feeds and of
// its chains they are; nil if there are none.
func writtenOut(n *network, feeds []feed, chains []chain, known []sums) (s *sums, inFeeds, inChains int) {
	size, o, f, c := n.Size(), ownKeys(n.own), feedKeys(feeds), chainKeys(chains)
	for i := range known {
		s := &known[i]
		if s.size == size && strings.HasPrefix(o, s.own) && strings.HasPrefix(f, s.feeds) && strings.HasPrefix(c, s.chains) &&
			s.parts.within(n.counts()) && s.has(n) {
			return s, len(s.feeds) / bytesOfFeed, len(s.chains) / bytesOfChain
		}
	}
	return nil, 0, 0
}

// appendScaled adds a factor to those of written sums, unless it is 1 or -1.
func appendScaled(factors []float64, factor float64) []float64 {
	if sense(factor) == scaled {
		return append(factors, factor)
	}
	return factors
}

// feedFactors are those that written sums of the feeds take.
func feedFactors(feeds []feed) (factors []float64) {
	for _, f := range feeds {
		factors = appendScaled(factors, f.factor)
	}
	return factors
}

// slopeFactors are those that written sums of the Jacobian take.
func slopeFactors(singles []single, terms []term, pairs []pair) (factors []float64) {
	for _, s := range singles {
		factors = appendScaled(factors, s.factor)
	}
	for _, t := range terms {
		factors = appendScaled(factors, t.factor)
	}
	for _, p := range pairs {
		factors = appendScaled(appendScaled(factors, p.factor1), p.factor2)
	}
	return factors
}
