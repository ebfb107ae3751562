package sim

import (
	"kneepoint/internal/physics"
	"kneepoint/sim/si"
)

// pumpUltimate is the lowest pressure a pump reaches, as a share of ambient
// (estimate).
const (
	pumpUltimate = 0.13
	pumpRounding = 500.0 // Pa
)

// pumpReach returns the greatest vacuum that a pump can reach.
func (a Ambient) pumpReach() si.Vacuum { return si.Vacuum((1 - pumpUltimate) * a.Pressure) }

// pumpLink draws from a gas while it is switched on, less and less towards its
// ultimate pressure.
type pumpLink struct {
	in       *inputs
	from     *gas
	freeFlow float64
	ambient  float64
}

func (l *pumpLink) flow(sig *values) (m, byP, byT float64) {
	if !l.in.pumping {
		return 0, 0, 0
	}
	p, t := sig[l.from.p], sig[l.from.t]
	k := l.freeFlow * l.ambient / (physics.GasConstant * t * l.ambient * (1 - pumpUltimate))
	z := p - pumpUltimate*l.ambient
	m = k * ramp(z, pumpRounding)
	return m, k * rampSlope(z, pumpRounding), -m / t
}

func (l *pumpLink) act(sig *values, out *outputs) {
	m, _, _ := l.flow(sig)
	out[0], out[1] = m, m*physics.HeatAtPressure*sig[l.from.t]
}

func (l *pumpLink) targets() [][]target {
	return [][]target{{{l.from.mass, -1}}, {{l.from.energy, -1}}}
}

func (l *pumpLink) couples() []coupling {
	return []coupling{{0, l.from.p}, {0, l.from.t}, {1, l.from.p}, {1, l.from.t}}
}

func (l *pumpLink) slopes(sig *values, d []float64) {
	m, byP, byT := l.flow(sig)
	h := physics.HeatAtPressure * sig[l.from.t]
	d[0], d[1] = byP, byT
	d[2], d[3] = h*byP, h*byT+physics.HeatAtPressure*m
}
