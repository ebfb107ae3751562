package sim

// lineResistance is that of one circuit's pipes, and pipeRounding what a pipe with two
// resistances turns over in (estimates).
const (
	lineResistance = 5e9  // Pa s/m³
	pipeRounding   = 10e3 // Pa
)

// pipe lets fluid flow from a half of the master cylinder, at a pressure, into a
// circuit.
func (n *network) pipe(from signalSlot, to *circuit, is piping) {
	if is.in != is.back {
		n.connect(&oneWay{from, to.p, to.volume, is})
		return
	}
	n.flow(to.volume, is.in/lineResistance, from)
	n.flow(to.volume, -is.in/lineResistance, to.p)
}

// oneWay is a hose that has closed inside: its flap lets fluid in more easily than out.
type oneWay struct {
	from, at signalSlot
	to       stateSlot
	is       piping
}

func (l *oneWay) act(sig *values, out *outputs) {
	dp := sig[l.from] - sig[l.at]
	out[0] = (l.is.in*ramp(dp, pipeRounding) - l.is.back*ramp(-dp, pipeRounding)) * (1 / lineResistance)
}
func (l *oneWay) targets() [][]target { return [][]target{{{l.to, 1}}} }
func (l *oneWay) couples() []coupling { return []coupling{{0, l.from}, {0, l.at}} }
func (l *oneWay) slopes(sig *values, d []float64) {
	dp := sig[l.from] - sig[l.at]
	d[0] = (l.is.in*rampSlope(dp, pipeRounding) + l.is.back*rampSlope(-dp, pipeRounding)) * (1 / lineResistance)
	d[1] = -d[0]
}
