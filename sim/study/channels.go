package study

import (
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// A Channel is one quantity of a run, in the order in which tables have them.
type Channel struct {
	Key, Title string
	Dim        si.Dimension
	Of         func(sim.State) float64
}

func channel[T si.Quantity](key, title string, of func(sim.State) T) Channel {
	var zero T
	return Channel{key, title, zero.Dimension(), func(s sim.State) float64 { return float64(of(s)) }}
}

// Channels lists every quantity of a run.
func Channels() []Channel {
	type state = sim.State
	return []Channel{
		channel("time", "time", func(s state) si.Time { return s.Time }),
		channel("pedal", "pedal force", func(s state) si.Force { return s.Pedal }),
		channel("input", "input force", func(s state) si.Force { return s.Input }),
		channel("output", "output force", func(s state) si.Force { return s.Output }),
		channel("line_front", "front line pressure", func(s state) si.Pressure { return s.LineFront }),
		channel("line_rear", "rear line pressure", func(s state) si.Pressure { return s.LineRear }),
		channel("front_vacuum", "front chamber", func(s state) si.Vacuum { return s.FrontVacuum }),
		channel("working_vacuum", "working chamber", func(s state) si.Vacuum { return s.WorkingVacuum }),
		channel("reservoir_vacuum", "reservoir", func(s state) si.Vacuum { return s.ReservoirVacuum }),
		channel("manifold_vacuum", "manifold", func(s state) si.Vacuum { return s.ManifoldVacuum }),
		channel("hub", "hub travel", func(s state) si.Length { return s.Hub }),
		channel("pedal_travel", "pedal travel", func(s state) si.Length { return s.PedalTravel }),
		channel("hose_vacuum", "hose", func(s state) si.Vacuum { return s.HoseVacuum }),
		channel("plunger", "plunger travel", func(s state) si.Length { return s.Plunger }),
		channel("piston", "master cylinder piston travel", func(s state) si.Length { return s.Piston }),
		channel("floating_piston", "floating piston travel", func(s state) si.Length { return s.Floater }),
		channel("air_valve_open", "air valve opening", func(s state) si.Ratio { return s.AirOpen }),
		channel("vacuum_valve_open", "vacuum valve opening", func(s state) si.Ratio { return s.VacuumOpen }),
		channel("air_flow", "air flow in", func(s state) si.MassFlow { return s.AirFlow }),
		channel("inner_flow", "flow between the chambers", func(s state) si.MassFlow { return s.InnerFlow }),
		channel("check_flow", "flow through the check valve", func(s state) si.MassFlow { return s.CheckFlow }),
		channel("hose_flow", "flow into the source", func(s state) si.MassFlow { return s.HoseFlow }),
		channel("pump_flow", "flow into the pump", func(s state) si.MassFlow { return s.PumpFlow }),
		channel("front_temperature", "front chamber temperature", func(s state) si.Temperature { return s.FrontTemperature }),
		channel("working_temperature", "working chamber temperature", func(s state) si.Temperature { return s.WorkingTemperature }),
		channel("fluid_front", "fluid in the front circuit", func(s state) si.Volume { return s.FluidFront }),
		channel("fluid_rear", "fluid in the rear circuit", func(s state) si.Volume { return s.FluidRear }),
		channel("engine_speed", "engine speed", func(s state) si.Rotation { return s.EngineSpeed }),
		channel("deceleration", "deceleration", func(s state) si.Acceleration { return s.Deceleration }),
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
	channels := Channels()
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
	for _, c := range Channels() {
		values := make([]answer.Optional[float64], len(states))
		for i, s := range states {
			values[i] = answer.Of(c.Of(s))
		}
		out[c.Key+c.Dim.Unit(si.SI).KeySuffix] = values
	}
	return out
}
