package sim

import (
	"fmt"

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
func (n *network) finish() error {
	bySignal := make([][]onState, n.signals)
	for _, d := range n.own {
		bySignal[d.signal] = append(bySignal[d.signal], onState{constantSlope, d.on})
	}
	slopes := 0
	var storeSlopes, linkSlopes []int // how many of each
	for _, s := range n.stores {
		storeSlopes = append(storeSlopes, len(s.depends()))
		for _, d := range s.depends() {
			bySignal[d.signal] = append(bySignal[d.signal], onState{slopes, d.on})
			slopes++
		}
	}

	// into[state] collects what feeds it; a chain leads from states to its rate.
	into := make([][]feed, len(n.scales))
	j := jacobianPlan{entry: map[[2]int]int{}}
	for _, f := range n.flows {
		into[f.to] = append(into[f.to], feed{f.factor, uint8(f.to), uint8(f.from)})
		j.chain(f.to, constantSlope, f.factor, bySignal[f.from])
	}
	if most := n.signals + mostOutputs*len(n.links); most > len(values{}) || len(n.scales) > ode.MostStates {
		return fmt.Errorf("%d signals and outputs and %d states, want at most %d and %d",
			most, len(n.scales), len(values{}), ode.MostStates)
	}
	for i, l := range n.links {
		targets := l.targets()
		if len(targets) > mostOutputs {
			return fmt.Errorf("%T has %d outputs, want at most %d", l, len(targets), mostOutputs)
		}
		outs := n.signals + mostOutputs*i
		linkSlopes = append(linkSlopes, len(l.couples()))
		for o, list := range targets {
			for _, t := range list {
				if t.state != nowhere {
					into[t.state] = append(into[t.state], feed{t.factor, uint8(t.state), uint8(outs + o)})
				}
			}
		}
		for _, c := range l.couples() {
			for _, t := range targets[c.output] {
				if t.state != nowhere {
					j.chain(t.state, slopes, t.factor, bySignal[c.signal])
				}
			}
			slopes++
		}
	}

	n.feeds = dealt(into)
	n.sig = new(values)
	n.sort()
	for _, c := range n.constants {
		n.sig[c.signal] = c.value
	}
	n.slope = make([]float64, slopes)
	var rest []float64
	n.storeSlope, rest = shares(n.slope, storeSlopes)
	n.linkSlope, _ = shares(rest, linkSlopes)
	n.compile(&j)
	var err error
	n.pattern, err = ode.NewPattern(len(n.scales), j.pattern)
	return err
}

// dealt returns the feeds of all states, the first of each, then the second of each:
// so that no sum waits for the one before it.
func dealt(into [][]feed) []feed {
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
	entry   map[[2]int]int // of a row and a column in the pattern
	chains  []chain
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
		at := [2]int{int(row), int(s.state)}
		if _, known := j.entry[at]; !known && s.state != inTime {
			j.entry[at] = len(j.pattern)
			j.pattern = append(j.pattern, at)
		}
	}
}

// compile sorts the chains by what they lead from and by how many of their slopes
// can change.
func (n *network) compile(j *jacobianPlan) {
	n.level = make([]float64, len(j.pattern)+len(n.scales))
	n.singles, n.terms, n.timeSingles, n.timeTerms = nil, nil, nil, nil
	for _, c := range j.chains {
		entry, level := int(c.row), len(j.pattern)+int(c.row)
		singles, terms := &n.timeSingles, &n.timeTerms
		if c.col != inTime {
			entry = j.entry[[2]int{int(c.row), int(c.col)}]
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
	var alone []term
	waiting := map[[2]int32]term{}
	for _, t := range n.terms {
		slopes := [2]int32{t.a, t.b}
		if first, there := waiting[slopes]; there {
			n.pairs = append(n.pairs, pair{t.a, t.b, first.entry, t.entry, first.factor, t.factor})
			delete(waiting, slopes)
		} else {
			waiting[slopes] = t
		}
	}
	for _, t := range n.terms {
		if waiting[[2]int32{t.a, t.b}] == t {
			alone = append(alone, t)
		}
	}
	n.terms = alone
}
