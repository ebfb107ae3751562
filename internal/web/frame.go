package web

import (
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// A frame is all that one picture needs, in SI; what a car does not have is null.
type frame struct {
	Time   si.Time         `json:"time_s"`
	Engine sim.EngineState `json:"engine"`
	Phase  phase           `json:"phase"`

	Pedal  si.Force `json:"pedal_n"`
	Input  si.Force `json:"input_n"`
	Output si.Force `json:"output_n"`

	LineFront si.Pressure `json:"line_front_pa"`
	LineRear  si.Pressure `json:"line_rear_pa"`

	FrontVacuum     answer.Optional[si.Vacuum] `json:"front_vacuum_pa"`
	WorkingVacuum   answer.Optional[si.Vacuum] `json:"working_vacuum_pa"`
	ReservoirVacuum answer.Optional[si.Vacuum] `json:"reservoir_vacuum_pa"`
	ManifoldVacuum  answer.Optional[si.Vacuum] `json:"manifold_vacuum_pa"`
	HoseVacuum      answer.Optional[si.Vacuum] `json:"hose_vacuum_pa"`

	Hub         answer.Optional[si.Length] `json:"hub_m"`
	Plunger     si.Length                  `json:"plunger_m"`
	PedalTravel si.Length                  `json:"pedal_travel_m"`
	Piston      si.Length                  `json:"piston_m"`
	Floater     answer.Optional[si.Length] `json:"floater_m"`

	AirOpen    answer.Optional[si.Ratio] `json:"air_open"`
	VacuumOpen answer.Optional[si.Ratio] `json:"vacuum_open"`

	AirFlow   answer.Optional[si.MassFlow] `json:"air_flow_kgps"`
	InnerFlow answer.Optional[si.MassFlow] `json:"inner_flow_kgps"`
	CheckFlow answer.Optional[si.MassFlow] `json:"check_flow_kgps"`
	HoseFlow  answer.Optional[si.MassFlow] `json:"hose_flow_kgps"`
	PumpFlow  answer.Optional[si.MassFlow] `json:"pump_flow_kgps"`

	FluidFront   si.Volume                    `json:"fluid_front_m3"`
	FluidRear    si.Volume                    `json:"fluid_rear_m3"`
	EngineSpeed  answer.Optional[si.Rotation] `json:"engine_speed_hz"`
	Deceleration si.Acceleration              `json:"deceleration_mps2"`
	onRoad

	Manual manualFrame `json:"manual"`

	StopsMade int   `json:"stops_made"`
	StopsLeft *left `json:"stops_left"`
}

// A manualFrame is the same foot on the manual pedal.
type manualFrame struct {
	Output       si.Force                   `json:"output_n"`
	LineFront    si.Pressure                `json:"line_front_pa"`
	LineRear     si.Pressure                `json:"line_rear_pa"`
	Plunger      si.Length                  `json:"plunger_m"`
	PedalTravel  si.Length                  `json:"pedal_travel_m"`
	Piston       si.Length                  `json:"piston_m"`
	Floater      answer.Optional[si.Length] `json:"floater_m"`
	Deceleration si.Acceleration            `json:"deceleration_mps2"`
	onRoad
}

// onRoad is what the axles do: the front one's share of the weight, and whose wheels
// are locked.
type onRoad struct {
	FrontLoad   si.Ratio `json:"front_load"`
	FrontLocked bool     `json:"front_locked"`
	RearLocked  bool     `json:"rear_locked"`
}

func newFrame(s sim.State, ambient si.Pressure) frame {
	return frame{
		Time: s.Time, Phase: phaseOf(s, ambient),
		Pedal: s.Pedal, Input: s.Input, Output: s.Output,
		LineFront: s.LineFront, LineRear: s.LineRear,
		FrontVacuum: answer.Of(s.FrontVacuum), WorkingVacuum: answer.Of(s.WorkingVacuum),
		ReservoirVacuum: answer.Of(s.ReservoirVacuum), ManifoldVacuum: answer.Of(s.ManifoldVacuum),
		HoseVacuum: answer.Of(s.HoseVacuum),
		Hub:        answer.Of(s.Hub), Plunger: s.Plunger, PedalTravel: s.PedalTravel,
		Piston: s.Piston, Floater: answer.Of(s.Floater),
		AirOpen: answer.Of(s.AirOpen), VacuumOpen: answer.Of(s.VacuumOpen),
		AirFlow: answer.Of(s.AirFlow), InnerFlow: answer.Of(s.InnerFlow),
		CheckFlow: answer.Of(s.CheckFlow), HoseFlow: answer.Of(s.HoseFlow), PumpFlow: answer.Of(s.PumpFlow),
		FluidFront: s.FluidFront, FluidRear: s.FluidRear,
		EngineSpeed: answer.Of(s.EngineSpeed), Deceleration: s.Deceleration,
		onRoad: onRoad{s.FrontLoad, s.FrontLocked, s.RearLocked},
	}
}

func newManualFrame(s sim.State) manualFrame {
	return manualFrame{
		Output: s.Output, LineFront: s.LineFront, LineRear: s.LineRear, Plunger: s.Plunger, PedalTravel: s.PedalTravel,
		Piston: s.Piston, Floater: answer.Of(s.Floater), Deceleration: s.Deceleration,
		onRoad: onRoad{s.FrontLoad, s.FrontLocked, s.RearLocked},
	}
}

// A phase names what the booster is doing.
type phase string

const (
	atRest    phase = "rest"
	applying  phase = "applying"
	holding   phase = "holding"
	runOut    phase = "run-out"
	releasing phase = "releasing"
	noHelp    phase = "no help"
	unboosted phase = "unboosted"
)

// Where one phase ends and another begins (estimates, for words on the page only).
const (
	feltFlow  si.MassFlow = 0.05e-3
	noVacuum  si.Vacuum   = 2e3
	fullShare             = 0.03 // of the ambient pressure
	barely    si.Force    = 1
	someForce si.Force    = 20
)

func phaseOf(s sim.State, ambient si.Pressure) phase {
	switch {
	case s.FrontVacuum != s.FrontVacuum: // not a number: there is no booster
		return unboosted
	case s.InnerFlow > feltFlow && s.VacuumOpen > s.AirOpen:
		return releasing
	case s.Pedal < barely && s.Output < someForce:
		return atRest
	case s.FrontVacuum < noVacuum:
		return noHelp
	case float64(s.WorkingVacuum) < fullShare*float64(ambient) && s.AirOpen > s.VacuumOpen:
		return runOut
	case s.AirFlow > feltFlow:
		return applying
	}
	if s.Output < someForce {
		return atRest
	}
	return holding
}
