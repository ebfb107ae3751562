package study

import (
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// A channel is one quantity of a run, in the order in which tables have them.
type channel struct {
	Key, Title string
	Dim        si.Dimension
	Of         func(sim.State) float64
}

func channelOf[T si.Quantity](key, title string, of func(sim.State) T) channel {
	var zero T
	return channel{key, title, zero.Dimension(), func(s sim.State) float64 { return float64(of(s)) }}
}

// channels lists every quantity of a run.
func channels() []channel {
	type state = sim.State
	return []channel{
		channelOf("time", "time", func(s state) si.Time { return s.Time }),
		channelOf("pedal", "pedal force", func(s state) si.Force { return s.Pedal }),
		channelOf("input", "input force", func(s state) si.Force { return s.Input }),
		channelOf("output", "output force", func(s state) si.Force { return s.Output }),
		channelOf("line_front", "front line pressure", func(s state) si.Pressure { return s.LineFront }),
		channelOf("line_rear", "rear line pressure", func(s state) si.Pressure { return s.LineRear }),
		channelOf("front_vacuum", "front chamber", func(s state) si.Vacuum { return s.FrontVacuum }),
		channelOf("working_vacuum", "working chamber", func(s state) si.Vacuum { return s.WorkingVacuum }),
		channelOf("reservoir_vacuum", "reservoir", func(s state) si.Vacuum { return s.ReservoirVacuum }),
		channelOf("manifold_vacuum", "manifold", func(s state) si.Vacuum { return s.ManifoldVacuum }),
		channelOf("hub", "hub travel", func(s state) si.Length { return s.Hub }),
		channelOf("pedal_travel", "pedal travel", func(s state) si.Length { return s.PedalTravel }),
		channelOf("hose_vacuum", "hose", func(s state) si.Vacuum { return s.HoseVacuum }),
		channelOf("plunger", "plunger travel", func(s state) si.Length { return s.Plunger }),
		channelOf("piston", "master cylinder piston travel", func(s state) si.Length { return s.Piston }),
		channelOf("floating_piston", "floating piston travel", func(s state) si.Length { return s.Floater }),
		channelOf("air_valve_open", "air valve opening", func(s state) si.Ratio { return s.AirOpen }),
		channelOf("vacuum_valve_open", "vacuum valve opening", func(s state) si.Ratio { return s.VacuumOpen }),
		channelOf("air_flow", "air flow in", func(s state) si.MassFlow { return s.AirFlow }),
		channelOf("inner_flow", "flow between the chambers", func(s state) si.MassFlow { return s.InnerFlow }),
		channelOf("check_flow", "flow through the check valve", func(s state) si.MassFlow { return s.CheckFlow }),
		channelOf("hose_flow", "flow into the source", func(s state) si.MassFlow { return s.HoseFlow }),
		channelOf("pump_flow", "flow into the pump", func(s state) si.MassFlow { return s.PumpFlow }),
		channelOf("front_temperature", "front chamber temperature", func(s state) si.Temperature { return s.FrontTemperature }),
		channelOf("working_temperature", "working chamber temperature", func(s state) si.Temperature { return s.WorkingTemperature }),
		channelOf("fluid_front", "fluid in the front circuit", func(s state) si.Volume { return s.FluidFront }),
		channelOf("fluid_rear", "fluid in the rear circuit", func(s state) si.Volume { return s.FluidRear }),
		channelOf("engine_speed", "engine speed", func(s state) si.Rotation { return s.EngineSpeed }),
		channelOf("deceleration", "deceleration", func(s state) si.Acceleration { return s.Deceleration }),
	}
}

// series takes one channel out of states.
func series(states []sim.State, of func(sim.State) float64) []float64 {
	out := make([]float64, len(states))
	for i, s := range states {
		out[i] = of(s)
	}
	return out
}

// samplesTable has a row a state and a column a channel.
func samplesTable(states []sim.State) answer.Table {
	channels := channels()
	t := answer.Table{Name: "samples", Detail: true}
	for _, c := range channels {
		t.Columns = append(t.Columns, answer.Column{Key: c.Key, Title: c.Title, Dim: c.Dim})
	}
	for _, s := range states {
		row := make([]answer.Cell, len(channels))
		for i, c := range channels {
			row[i] = answer.Of(c.Of(s)).Cell()
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// samplesDocument has a list of values a channel.
func samplesDocument(states []sim.State) map[string][]answer.Optional[float64] {
	out := map[string][]answer.Optional[float64]{}
	for _, c := range channels() {
		values := make([]answer.Optional[float64], len(states))
		for i, s := range states {
			values[i] = answer.Of(c.Of(s))
		}
		out[c.Key+c.Dim.Unit(si.SI).KeySuffix] = values
	}
	return out
}
