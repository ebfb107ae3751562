package sim

// How a master cylinder fills up again from its reservoir (estimates).
const (
	refill       = 4 / lineResistance // m³/(s Pa) through its cups and ports
	seepRounding = 5e3                // Pa
)

// seep lets fluid out of the first half of a master cylinder, in proportion to its
// pressure as through a narrow gap, past the seal into the reservoir or out of the
// pipes; with the pedal let go the reservoir gives it back. Its output is what leaves.
type seep struct {
	pressure signalSlot
	to       stateSlot
	gap      float64 // m³/(s Pa)
}

func (l *seep) act(sig *values, out *outputs) {
	p := sig[l.pressure]
	out[0] = l.gap*ramp(p, seepRounding) - refill*ramp(-p, seepRounding)
}
func (l *seep) targets() [][]target { return [][]target{{{l.to, 1}}} }
func (l *seep) couples() []coupling { return []coupling{{0, l.pressure}} }
func (l *seep) slopes(sig *values, d []float64) {
	p := sig[l.pressure]
	d[0] = l.gap*rampSlope(p, seepRounding) + refill*rampSlope(-p, seepRounding)
}
