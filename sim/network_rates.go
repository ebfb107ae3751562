package sim

import "kneepoint/internal/ode"

// The right-hand side is a network. A store owns states and turns them into
// signals (pressures, temperatures, positions); a link reads signals and puts a
// flow or a force into the rates of states. Both give their own partial
// derivatives, from which the network builds the Jacobian by the chain rule. What
// is no more than a factor (heat through a wall, fluid through a pipe) is a flow
// and needs no type of its own.

// A stateSlot is the place of a state in y, a signalSlot that of a signal.
type (
	stateSlot  int
	signalSlot uint8
)

// values are all signals, and behind them the outputs of all links. With a slot of one
// byte no access needs a check of its bounds.
type values [256]float64

// outputs are those of one link.
type outputs [mostOutputs]float64

const mostOutputs = 3

// inTime stands for time where a signal depends on it and not on a state.
const inTime stateSlot = -1

// nowhere is the state of something that takes any flow without changing:
// the atmosphere, a bench.
const nowhere stateSlot = -2

// A store turns states into signals.
type store interface {
	// read writes the store's signals.
	read(t float64, y []float64, sig *values)
	// depends lists which of its signals depends on what.
	depends() []dependence
	// slopes writes a partial derivative for each dependence, in their order.
	slopes(t float64, y []float64, sig *values, d []float64)
}

// A dependence says that a signal depends on a state, or on time.
type dependence struct {
	signal signalSlot
	on     stateSlot
}

// A link reads signals and writes outputs: flows and forces.
type link interface {
	// act writes the outputs.
	act(sig *values, out *outputs)
	// targets says for each output into which rates it goes, with which factor.
	targets() [][]target
	// couples lists which output depends on which signal.
	couples() []coupling
	// slopes writes a partial derivative for each coupling, in their order.
	slopes(sig *values, d []float64)
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

// A flow puts a signal times a factor into the rate of a state.
type flow struct {
	to     stateSlot
	factor float64
	from   signalSlot
}

// network is the assembled system; it implements ode.System. Its scratch space
// makes it one goroutine's.
type network struct {
	scales  []float64
	names   []string
	signals int

	own       []dependence // signals that are a state's own value
	stores    []store
	links     []link
	flows     []flow
	constants []constant

	// written are sums written out, nil if there are none for this car, with their
	// factors; feeds, singles, terms and pairs are what they leave.
	written                   *sums
	feedFactors, slopeFactors []float64

	feeds []feed
	// Stores and links by kind: nearly all of the work are gases and passages, which
	// are called as what they are.
	others   []store
	passages []wired[*passage]
	rest     []wired[link]

	pattern *ode.Pattern
	level   []float64 // what never changes of the Jacobian
	singles []single
	terms   []term
	pairs   []pair
	// Those of the derivatives by time.
	timeSingles []single
	timeTerms   []term

	// gases are the stores of air that a session fills before it starts.
	gases []*gas

	sig        *values
	outs       []*outputs // of each link, within sig
	slope      []float64
	storeSlope [][]float64 // of each store, within slope
	linkSlope  [][]float64
}

// wired is a link with its outputs.
type wired[L link] struct {
	link L
	out  *outputs
}

// A feed adds a signal or an output to the rate of a state.
type feed struct {
	factor   float64
	to, from uint8
}

// The Jacobian is made of products of a link's slope and a store's, and of single
// slopes where the other factor is constant. An entry is one of the pattern, or the
// state whose rate is derived by time.
type (
	term struct {
		entry, a, b int32
		factor      float64
	}
	single struct {
		entry, slope int32
		factor       float64
	}
	// A pair is two terms with the same slopes: what leaves one end of a passage
	// enters the other.
	pair struct {
		a, b             int32
		entry1, entry2   int32
		factor1, factor2 float64
	}
)

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

// value hands out a signal that is a state as it is.
func (n *network) value(of stateSlot) signalSlot {
	s := n.signal()
	n.own = append(n.own, dependence{s, of})
	return s
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

// flow adds a flow.
func (n *network) flow(to stateSlot, factor float64, from signalSlot) {
	n.flows = append(n.flows, flow{to, factor, from})
}

// Size returns the number of states.
func (n *network) Size() int { return len(n.scales) }

// Pattern returns where the Jacobian can be other than zero.
func (n *network) Pattern() *ode.Pattern { return n.pattern }

// observe fills the signals and the outputs.
func (n *network) observe(t float64, y []float64) {
	sig := n.sig
	var done partCounts
	if w := n.written; w != nil {
		w.observe(n, t, y, sig)
		done = w.parts
	}
	for _, d := range n.own[done.own:] {
		sig[d.signal] = y[d.on]
	}
	for _, g := range n.gases[done.gases:] {
		g.read(t, y, sig)
	}
	for _, s := range n.others[done.others:] {
		s.read(t, y, sig)
	}
	for _, w := range n.passages[done.passages:] {
		w.link.act(sig, w.out)
	}
	for _, w := range n.rest[done.rest:] {
		w.link.act(sig, w.out)
	}
}

// Rates implements ode.System.
func (n *network) Rates(t float64, y, dy []float64) {
	n.observe(t, y)
	sig := n.sig
	if w := n.written; w != nil {
		w.rates(sig, n.feedFactors, dy)
	} else {
		clear(dy)
	}
	for i := range n.feeds {
		f := &n.feeds[i]
		dy[f.to] += f.factor * sig[f.from]
	}
}

// Jacobian implements ode.System. The signals are those of the call of Rates
// before it.
func (n *network) Jacobian(t float64, y, jac, dfdt []float64) {
	w := n.written
	var done partCounts
	if w != nil {
		w.slopes(n, t, y, n.sig)
		done = w.parts
	}
	for i := done.stores; i < len(n.stores); i++ {
		n.stores[i].slopes(t, y, n.sig, n.storeSlope[i])
	}
	for i := done.links; i < len(n.links); i++ {
		n.links[i].slopes(n.sig, n.linkSlope[i])
	}
	entries := len(jac)
	slope := n.slope
	if w != nil {
		w.jacobian(slope, n.level, n.slopeFactors, jac)
	} else {
		copy(jac, n.level)
	}
	copy(dfdt, n.level[entries:])
	for _, s := range n.singles {
		jac[s.entry] += s.factor * slope[s.slope]
	}
	for _, t := range n.terms {
		jac[t.entry] += t.factor * slope[t.a] * slope[t.b]
	}
	for i := range n.pairs {
		p := &n.pairs[i]
		v := slope[p.a] * slope[p.b]
		jac[p.entry1] += p.factor1 * v
		jac[p.entry2] += p.factor2 * v
	}
	for _, s := range n.timeSingles {
		dfdt[s.entry] += s.factor * slope[s.slope]
	}
	for _, t := range n.timeTerms {
		dfdt[t.entry] += t.factor * slope[t.a] * slope[t.b]
	}
}
