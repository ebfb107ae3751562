package sim

// diaphragm turns the difference of the chambers' pressures into a force on the
// hub, and takes from the gas the work that it does. The hub's tail sees the
// ambient pressure.
type diaphragm struct {
	front, rear *gas
	speed       signalSlot // of the hub
	speedState  stateSlot
	area, tail  float64
	ambient     float64
	mass        float64 // of the hub
}

func (l *diaphragm) act(sig *values, out *outputs) {
	pf, pw, v := sig[l.front.p], sig[l.rear.p], sig[l.speed]
	out[0] = (pw-pf)*l.area + (l.ambient-pw)*l.tail
	out[1] = pf * l.area * v
	out[2] = -pw * (l.area - l.tail) * v
}

func (l *diaphragm) targets() [][]target {
	return [][]target{{{l.speedState, 1 / l.mass}}, {{l.front.energy, 1}}, {{l.rear.energy, 1}}}
}

func (l *diaphragm) couples() []coupling {
	return []coupling{
		{0, l.front.p}, {0, l.rear.p},
		{1, l.front.p}, {1, l.speed},
		{2, l.rear.p}, {2, l.speed},
	}
}

func (l *diaphragm) slopes(sig *values, d []float64) {
	v := sig[l.speed]
	d[0] = -l.area
	d[1] = l.area - l.tail
	d[2] = l.area * v
	d[3] = sig[l.front.p] * l.area
	d[4] = -(l.area - l.tail) * v
	d[5] = -sig[l.rear.p] * (l.area - l.tail)
}
