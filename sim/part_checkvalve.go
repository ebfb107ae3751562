package sim

import "kneepoint/internal/physics"

// A check valve cracks at a small pressure difference and is fully open a
// little later (estimates), so that a recharge ends some 0.3 to 0.5 kPa short.
const (
	checkCracks = 300.0  // Pa
	checkOpens  = 2000.0 // Pa more
)

// checkValve is the conductance of a valve that opens from inside to outside.
type checkValve struct {
	inside, outside signalSlot
	full            float64
}

func newCheckValve(inside, outside signalSlot, area float64) *checkValve {
	return &checkValve{inside, outside, area * physics.NozzleConductance}
}

func (c *checkValve) lift(sig *values) float64 {
	return (sig[c.inside] - sig[c.outside] - checkCracks) * (1 / checkOpens)
}

func (c *checkValve) value(sig *values) float64 { return c.full * step(c.lift(sig)) }
func (c *checkValve) signals() []signalSlot     { return []signalSlot{c.inside, c.outside} }

func (c *checkValve) slopes(sig *values, d []float64) float64 {
	u := c.lift(sig)
	d[0] = c.full * stepSlope(u) * (1 / checkOpens)
	d[1] = -d[0]
	return c.full * step(u)
}
