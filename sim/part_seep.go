package sim

// How a master cylinder fills up again from its reservoir (estimates).
const (
	refill       = 4 / lineResistance // m³/(s Pa) through its cups and ports
	refillFade   = 0.05e-6            // m³ that are missing, below which less comes back
	seepRounding = 5e3                // Pa
)

// seep lets fluid out of the first half of a master cylinder, in proportion to its
// pressure as through a narrow gap, past the seal into the reservoir or out of the
// pipes; with the pedal let go the reservoir gives it back, and no more than has left,
// since what its cups let in beyond that goes back through the open port. Its output is
// what leaves.
type seep struct {
	pressure, gone signalSlot
	to             stateSlot
	gap            float64 // m³/(s Pa)
}

func (l *seep) act(sig *values, out *outputs) {
	p := sig[l.pressure]
	out[0] = l.gap*ramp(p, seepRounding) - refill*ramp(-p, seepRounding)*step(sig[l.gone]/refillFade)
}
func (l *seep) targets() [][]target { return [][]target{{{l.to, 1}}} }
func (l *seep) couples() []coupling { return []coupling{{0, l.pressure}, {0, l.gone}} }
func (l *seep) slopes(sig *values, d []float64) {
	p, gone := sig[l.pressure], sig[l.gone]/refillFade
	d[0] = l.gap*rampSlope(p, seepRounding) + refill*rampSlope(-p, seepRounding)*step(gone)
	d[1] = -refill * ramp(-p, seepRounding) * stepSlope(gone) / refillFade
}
