package sim

import (
	"fmt"
	"slices"

	"kneepoint/internal/ode"
)

// constantSlope stands for a partial derivative that is the same at all times:
// that of a state by itself, or of a flow by its signal.
const constantSlope = -1

// onState is the partial derivative of a signal by a state: the slope with this
// number, or constantSlope.
type onState struct {
	slope int
	state stateSlot
}

// finish plans the loops once every part is in place.
func (n *network) finish() error { return n.plan(written) }

// A listing is all that is added up in a network, in the order in which its parts were
// connected.
type listing struct {
	feeds    []feed // into the rates of states
	jacobian jacobianPlan
	slopes   int
	// storeSlopes and linkSlopes are how many of them each has.
	storeSlopes, linkSlopes []int
}

func (n *network) list() (*listing, error) {
	bySignal := make([][]onState, n.signals)
	for _, d := range n.own {
		bySignal[d.signal] = append(bySignal[d.signal], onState{constantSlope, d.on})
	}
	l := &listing{jacobian: newJacobianPlan(len(n.scales))}
	for _, s := range n.stores {
		l.storeSlopes = append(l.storeSlopes, len(s.depends()))
		for _, d := range s.depends() {
			bySignal[d.signal] = append(bySignal[d.signal], onState{l.slopes, d.on})
			l.slopes++
		}
	}

	for _, f := range n.flows {
		l.feeds = append(l.feeds, feed{f.factor, uint8(f.to), uint8(f.from)})
		l.jacobian.chain(f.to, constantSlope, f.factor, bySignal[f.from])
	}
	if most := n.signals + mostOutputs*len(n.links); most > len(values{}) || len(n.scales) > ode.MostStates {
		return nil, fmt.Errorf("%d signals and outputs and %d states, want at most %d and %d",
			most, len(n.scales), len(values{}), ode.MostStates)
	}
	for i, link := range n.links {
		targets := link.targets()
		if len(targets) > mostOutputs {
			return nil, fmt.Errorf("%T has %d outputs, want at most %d", link, len(targets), mostOutputs)
		}
		outs := n.signals + mostOutputs*i
		l.linkSlopes = append(l.linkSlopes, len(link.couples()))
		for o, list := range targets {
			for _, t := range list {
				if t.state != nowhere {
					l.feeds = append(l.feeds, feed{t.factor, uint8(t.state), uint8(outs + o)})
				}
			}
		}
		for _, c := range link.couples() {
			for _, t := range targets[c.output] {
				if t.state != nowhere {
					l.jacobian.chain(t.state, l.slopes, t.factor, bySignal[c.signal])
				}
			}
			l.slopes++
		}
	}
	return l, nil
}

// plan makes loops of what none of the sums that are known does.
func (n *network) plan(known []sums) error {
	l, err := n.list()
	if err != nil {
		return err
	}
	j := &l.jacobian
	n.sig = new(values)
	n.sort()
	w, inFeeds, inChains := writtenOut(n, l.feeds, j.chains, known)
	n.written, n.feedFactors = w, feedFactors(l.feeds[:inFeeds])
	n.feeds = dealt(len(n.scales), l.feeds[inFeeds:])
	for _, c := range n.constants {
		n.sig[c.signal] = c.value
	}
	n.slope = make([]float64, l.slopes)
	var rest []float64
	n.storeSlope, rest = shares(n.slope, l.storeSlopes)
	n.linkSlope, _ = shares(rest, l.linkSlopes)
	n.level = make([]float64, len(j.pattern)+len(n.scales))
	n.timeSingles, n.timeTerms = nil, nil
	n.compile(j, j.chains[:inChains])
	n.slopeFactors = slopeFactors(n.singles, n.terms, n.pairs)
	n.compile(j, j.chains[inChains:])
	n.pattern, err = ode.NewPattern(len(n.scales), j.pattern)
	return err
}

// dealt returns the feeds in another order, the first of each state, then the second of
// each: so that no sum waits for the one before it.
func dealt(states int, feeds []feed) []feed {
	into := make([][]feed, states)
	for _, f := range feeds {
		into[f.to] = append(into[f.to], f)
	}
	var all []feed
	for round, more := 0, true; more; round++ {
		more = false
		for _, list := range into {
			if round < len(list) {
				all, more = append(all, list[round]), true
			}
		}
	}
	return all
}

// sort gives every link its outputs and puts stores and links by kind.
func (n *network) sort() {
	n.others, n.outs, n.passages, n.rest = nil, nil, nil, nil
	for _, s := range n.stores {
		if _, is := s.(*gas); !is {
			n.others = append(n.others, s)
		}
	}
	for i, l := range n.links {
		out := (*outputs)(n.sig[n.signals+mostOutputs*i:])
		n.outs = append(n.outs, out)
		if p, is := l.(*passage); is {
			n.passages = append(n.passages, wired[*passage]{p, out})
		} else {
			n.rest = append(n.rest, wired[link]{l, out})
		}
	}
}

// shares cuts a slice into pieces of the given lengths, and returns what is left.
func shares(of []float64, lengths []int) (pieces [][]float64, rest []float64) {
	for _, l := range lengths {
		pieces, of = append(pieces, of[:l:l]), of[l:]
	}
	return pieces, of
}

// jacobianPlan collects the chains from states to rates.
type jacobianPlan struct {
	pattern [][2]int
	size    int
	entry   []int // of a row and a column, row by row, its place in the pattern; -1 if there is none
	chains  []chain
}

func newJacobianPlan(size int) jacobianPlan {
	return jacobianPlan{size: size, entry: slices.Repeat([]int{-1}, size*size)}
}

// A chain is one product in an entry of the Jacobian: factor × the slopes a and b,
// each of which may be constant.
type chain struct {
	row    stateSlot
	col    stateSlot
	a, b   int
	factor float64
}

func (j *jacobianPlan) chain(row stateSlot, slope int, factor float64, states []onState) {
	for _, s := range states {
		j.chains = append(j.chains, chain{row, s.state, slope, s.slope, factor})
		if s.state == inTime {
			continue
		}
		if at := &j.entry[int(row)*j.size+int(s.state)]; *at < 0 {
			*at = len(j.pattern)
			j.pattern = append(j.pattern, [2]int{int(row), int(s.state)})
		}
	}
}

// compile sorts chains by what they lead from and by how many of their slopes can
// change. What never changes, and what is of time, adds up over several calls.
func (n *network) compile(j *jacobianPlan, chains []chain) {
	n.singles, n.terms = nil, nil
	for _, c := range chains {
		entry, level := int(c.row), len(j.pattern)+int(c.row)
		singles, terms := &n.timeSingles, &n.timeTerms
		if c.col != inTime {
			entry = j.entry[int(c.row)*j.size+int(c.col)]
			level, singles, terms = entry, &n.singles, &n.terms
		}
		switch {
		case c.a == constantSlope && c.b == constantSlope:
			n.level[level] += c.factor
		case c.a == constantSlope || c.b == constantSlope:
			*singles = append(*singles, single{int32(entry), int32(max(c.a, c.b)), c.factor})
		default:
			*terms = append(*terms, term{int32(entry), int32(c.a), int32(c.b), c.factor})
		}
	}
	n.pairUp()
}

// pairUp moves terms with the same slopes from terms to pairs.
func (n *network) pairUp() {
	n.pairs = nil
	alone := n.terms[:0]
	for _, t := range n.terms {
		first := slices.IndexFunc(alone, func(s term) bool { return s.a == t.a && s.b == t.b })
		if first < 0 {
			alone = append(alone, t)
			continue
		}
		n.pairs = append(n.pairs, pair{t.a, t.b, alone[first].entry, t.entry, alone[first].factor, t.factor})
		alone = slices.Delete(alone, first, first+1)
	}
	n.terms = alone
}
