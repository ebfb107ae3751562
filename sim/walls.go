package sim

// walls is the heat that flows into a gas from its walls, which stay at the
// ambient temperature.
type walls struct {
	gas         *gas
	conductance float64 // W/K
	temperature float64 // K
}

func (w *walls) act(sig, out []float64) {
	out[0] = w.conductance * (w.temperature - sig[w.gas.t])
}

func (w *walls) targets() [][]target   { return [][]target{{{w.gas.energy, 1}}} }
func (w *walls) couples() []coupling   { return []coupling{{0, w.gas.t}} }
func (w *walls) slopes(_, d []float64) { d[0] = -w.conductance }
