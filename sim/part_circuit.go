package sim

import "math"

// takeUpSlope is the pressure for each volume while clearances close (estimate).
const (
	takeUpSlope    = 0.05e12 // Pa/m³
	takeUpRounding = 0.1e-6  // m³, over which pads and shoes seat
)

// circuit is a store of brake fluid: the volume that has entered one axle's
// pipes and brakes, and the pressure that this takes.
type circuit struct {
	volume stateSlot
	p      signalSlot
	takeUp float64
	stiff  float64 // Pa/m³ beyond the take-up
	round  float64
	lost   bool
	// air is the volume at the ambient pressure of what was left in the pipes.
	air, ambient float64
}

func (n *network) newCircuit(name string, c Circuit, air, ambient float64) *circuit {
	s := &circuit{
		volume:  n.state(name+" circuit volume", 1e-6),
		p:       n.signal(),
		takeUp:  float64(c.TakeUp),
		stiff:   1 / float64(c.Compliance),
		lost:    c.Lost,
		air:     air,
		ambient: ambient,
	}
	s.round = min(takeUpRounding, s.takeUp/2)
	n.place(s)
	return s
}

// pressure returns the pressure that a volume takes, and its slope.
func (c *circuit) pressure(volume float64) (p, slope float64) {
	if c.lost {
		return 0, 0
	}
	if c.air == 0 {
		return c.solid(volume)
	}
	// The air takes its share of the volume: find what is left for the parts.
	// Where the absolute pressure would be nothing the air fills any volume, and
	// beyond that there is a second root that means nothing.
	_, slack := c.solid(0)
	low, high := max(min(0, volume), -c.ambient/slack), max(0, volume)
	v := high
	for range 60 {
		p, slope = c.solid(v)
		gas := c.air * p / (p + c.ambient)
		bySolid := 1 + c.air*c.ambient/((p+c.ambient)*(p+c.ambient))*slope
		miss := v + gas - volume
		if miss > 0 {
			high = v
		} else {
			low = v
		}
		next := v - miss/bySolid
		if !(next >= low && next <= high) {
			next = (low + high) / 2
		}
		if math.Abs(next-v) <= 1e-13*c.air {
			break
		}
		v = next
	}
	p, slope = c.solid(v)
	return p, slope / (1 + c.air*c.ambient/((p+c.ambient)*(p+c.ambient))*slope)
}

func (c *circuit) solid(volume float64) (p, slope float64) {
	if c.round == 0 {
		return c.stiff * volume, c.stiff
	}
	return c.seated(volume), takeUpSlope + (c.stiff-takeUpSlope)*rampSlope(volume-c.takeUp, c.round)
}

// seated is the pressure of parts that have a clearance to take up.
func (c *circuit) seated(volume float64) float64 {
	return takeUpSlope*volume + (c.stiff-takeUpSlope)*ramp(volume-c.takeUp, c.round)
}

func (c *circuit) read(_ float64, y []float64, sig *values) {
	v := y[c.volume]
	if !c.lost && c.air == 0 && c.round > 0 {
		sig[c.p] = c.seated(v) // the usual one, without its slope
		return
	}
	sig[c.p], _ = c.pressure(v)
}
func (c *circuit) depends() []dependence { return []dependence{{c.p, c.volume}} }
func (c *circuit) slopes(_ float64, y []float64, _ *values, d []float64) {
	_, d[0] = c.pressure(y[c.volume])
}

// holds returns the fluid that the circuit takes at a pressure.
func (c *circuit) holds(pressure float64) float64 {
	if pressure == 0 || c.lost {
		return 0
	}
	low, high := 0.0, 1e-3
	for range 60 {
		if v := (low + high) / 2; c.at(v) < pressure {
			low = v
		} else {
			high = v
		}
	}
	return high
}

func (c *circuit) at(volume float64) float64 {
	p, _ := c.pressure(volume)
	return p
}
