package sim

import "strings"

// Sums are what a network does after its parts have spoken: rates are sums of signals
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
func writtenOut(size int, feeds []feed, chains []chain, known []sums) (s *sums, inFeeds, inChains int) {
	f, c := feedKeys(feeds), chainKeys(chains)
	for i := range known {
		s := &known[i]
		if s.size == size && strings.HasPrefix(f, s.feeds) && strings.HasPrefix(c, s.chains) {
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
