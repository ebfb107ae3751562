package sim

import "kneepoint/internal/ode"

// The right-hand side is a network. A store owns states and turns them into
// signals (pressures, temperatures, positions); a link reads signals and puts a
// flow or a force into the rates of states. Both give their own partial
// derivatives, from which the network builds the Jacobian by the chain rule.

// A stateSlot is the place of a state in y, a signalSlot that of a signal.
type (
	stateSlot  int
	signalSlot int
)

// inTime stands for time where a signal depends on it and not on a state.
const inTime stateSlot = -1

// nowhere is the state of something that takes any flow without changing:
// the atmosphere, a bench.
const nowhere stateSlot = -2

// A store turns states into signals.
type store interface {
	// read writes the store's signals.
	read(t float64, y, sig []float64)
	// depends lists which of its signals depends on what.
	depends() []dependence
	// slopes writes a partial derivative for each dependence, in their order.
	slopes(t float64, y, sig, d []float64)
}

// A dependence says that a signal depends on a state, or on time.
type dependence struct {
	signal signalSlot
	on     stateSlot
}

// A link reads signals and writes outputs: flows and forces.
type link interface {
	// act writes the outputs.
	act(sig, out []float64)
	// targets says for each output into which rates it goes, with which factor.
	targets() [][]target
	// couples lists which output depends on which signal.
	couples() []coupling
	// slopes writes a partial derivative for each coupling, in their order.
	slopes(sig, d []float64)
}

// A target is a state whose rate takes an output times a factor.
type target struct {
	state  stateSlot
	factor float64
}

// A coupling says that a link's output depends on a signal.
type coupling struct {
	output int
	signal signalSlot
}

// network is the assembled system; it implements ode.System. Its scratch space
// makes it one goroutine's.
type network struct {
	scales  []float64
	names   []string
	signals int

	stores     []store
	storeSlope []int // first slope of each store, and the end
	links      []link
	linkOut    []int // first output of each link, and the end
	linkSlope  []int

	feeds   []feed
	terms   []term
	pattern *ode.Pattern

	constants []constant
	// gases are the stores of air that a session fills before it starts.
	gases []*gas

	sig, out         []float64
	bySignal, byLink []float64
}

// A feed adds an output to a rate.
type feed struct {
	state, out int32
	factor     float64
}

// A term adds to the Jacobian the product of a link's and a store's slope.
// Entries from size on are the derivatives by time.
type term struct {
	entry, link, store int32
	factor             float64
}

type constant struct {
	signal signalSlot
	value  float64
}

// state hands out a slot. The scale is the size at which an absolute error
// matters as much as the relative one.
func (n *network) state(name string, scale float64) stateSlot {
	n.names = append(n.names, name)
	n.scales = append(n.scales, scale)
	return stateSlot(len(n.scales) - 1)
}

// signal hands out a slot.
func (n *network) signal() signalSlot {
	n.signals++
	return signalSlot(n.signals - 1)
}

// constant hands out a signal that never changes.
func (n *network) constant(value float64) signalSlot {
	s := n.signal()
	n.constants = append(n.constants, constant{s, value})
	return s
}

func (n *network) place(stores ...store) { n.stores = append(n.stores, stores...) }

// connect adds links and returns the number of the first.
func (n *network) connect(links ...link) int {
	n.links = append(n.links, links...)
	return len(n.links) - len(links)
}

// finish plans the loops once every part is in place.
func (n *network) finish() error {
	type entry struct{ row, col stateSlot }
	var pattern [][2]int
	index := map[entry]int32{}
	type onState struct {
		slope int32
		state stateSlot
	}
	bySignal := make([][]onState, n.signals)
	slopes := 0
	for _, s := range n.stores {
		n.storeSlope = append(n.storeSlope, slopes)
		for _, d := range s.depends() {
			bySignal[d.signal] = append(bySignal[d.signal], onState{int32(slopes), d.on})
			slopes++
		}
	}
	n.storeSlope = append(n.storeSlope, slopes)
	n.bySignal = make([]float64, slopes)

	outs, couplings := 0, 0
	var byTime []term
	for _, l := range n.links {
		n.linkOut = append(n.linkOut, outs)
		n.linkSlope = append(n.linkSlope, couplings)
		targets := l.targets()
		for o, list := range targets {
			for _, t := range list {
				if t.state != nowhere {
					n.feeds = append(n.feeds, feed{int32(t.state), int32(outs + o), t.factor})
				}
			}
		}
		for k, c := range l.couples() {
			for _, t := range targets[c.output] {
				if t.state == nowhere {
					continue
				}
				for _, s := range bySignal[c.signal] {
					tm := term{link: int32(couplings + k), store: s.slope, factor: t.factor}
					if s.state == inTime {
						tm.entry = int32(t.state)
						byTime = append(byTime, tm)
						continue
					}
					e := entry{t.state, s.state}
					i, known := index[e]
					if !known {
						i = int32(len(pattern))
						index[e] = i
						pattern = append(pattern, [2]int{int(e.row), int(e.col)})
					}
					tm.entry = i
					n.terms = append(n.terms, tm)
				}
			}
		}
		outs += len(targets)
		couplings += len(l.couples())
	}
	n.linkOut = append(n.linkOut, outs)
	n.linkSlope = append(n.linkSlope, couplings)
	for _, tm := range byTime {
		tm.entry += int32(len(pattern))
		n.terms = append(n.terms, tm)
	}
	n.sig = make([]float64, n.signals)
	for _, c := range n.constants {
		n.sig[c.signal] = c.value
	}
	n.out = make([]float64, outs)
	n.byLink = make([]float64, couplings)
	var err error
	n.pattern, err = ode.NewPattern(len(n.scales), pattern)
	return err
}

// Size returns the number of states.
func (n *network) Size() int { return len(n.scales) }

// Pattern returns where the Jacobian can be other than zero.
func (n *network) Pattern() *ode.Pattern { return n.pattern }

// observe fills the signals and the outputs.
func (n *network) observe(t float64, y []float64) {
	for _, s := range n.stores {
		s.read(t, y, n.sig)
	}
	for i, l := range n.links {
		l.act(n.sig, n.out[n.linkOut[i]:n.linkOut[i+1]])
	}
}

// Rates implements ode.System.
func (n *network) Rates(t float64, y, dy []float64) {
	n.observe(t, y)
	clear(dy)
	for i := range n.feeds {
		f := &n.feeds[i]
		dy[f.state] += f.factor * n.out[f.out]
	}
}

// Jacobian implements ode.System.
func (n *network) Jacobian(t float64, y, jac, dfdt []float64) {
	for i, s := range n.stores {
		s.read(t, y, n.sig)
		s.slopes(t, y, n.sig, n.bySignal[n.storeSlope[i]:n.storeSlope[i+1]])
	}
	for i, l := range n.links {
		l.slopes(n.sig, n.byLink[n.linkSlope[i]:n.linkSlope[i+1]])
	}
	clear(jac)
	clear(dfdt)
	entries := int32(len(jac))
	for i := range n.terms {
		tm := &n.terms[i]
		v := tm.factor * n.byLink[tm.link] * n.bySignal[tm.store]
		if tm.entry < entries {
			jac[tm.entry] += v
		} else {
			dfdt[tm.entry-entries] += v
		}
	}
}
