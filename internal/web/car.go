package web

import (
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// A carReply is the car that a page drives: what to draw, where its controls
// stand, and the first frame.
type carReply struct {
	Title    string `json:"title"`
	Name     string `json:"name"`
	Document string `json:"document"`
	// Given is the document without what is assumed; empty where nothing was given.
	Given    string          `json:"given"`
	Warnings []string        `json:"warnings"`
	Shape    shape           `json:"shape"`
	Controls []controlReply  `json:"controls"`
	Kind     string          `json:"kind"`
	Fault    *faultReply     `json:"fault"`
	Faults   string          `json:"faults"`
	Engine   sim.EngineState `json:"engine"`
	Frame    frame           `json:"frame"`
}

// A shape is what the drawing is made of.
type shape struct {
	Ambient      si.Pressure   `json:"ambient_pa"`
	Booster      bool          `json:"booster"`
	Tandem       bool          `json:"tandem"`
	Area         si.Area       `json:"area_m2"`
	Stroke       si.Length     `json:"stroke_m"`
	Dual         bool          `json:"dual"`
	MasterStroke si.Length     `json:"master_stroke_m"`
	Reservoir    si.Volume     `json:"reservoir_m3"`
	Place        sim.Place     `json:"reservoir_place"`
	Pump         bool          `json:"pump"`
	Engine       bool          `json:"engine"`
	FrontBrake   sim.BrakeKind `json:"front_brake"`
	RearBrake    sim.BrakeKind `json:"rear_brake"`
	Proportions  bool          `json:"proportions"`
	Meters       bool          `json:"meters"`
	KeepsFront   bool          `json:"residual_front"`
	KeepsRear    bool          `json:"residual_rear"`
	ManualRatio  si.Ratio      `json:"manual_pedal_ratio"`
	ManualBore   si.Length     `json:"manual_bore_m"`
}

type controlReply struct {
	ID    string  `json:"id"`
	Label string  `json:"label"`
	Note  string  `json:"note"`
	Value float64 `json:"value"` // SI
	US    span    `json:"us"`
	SI    span    `json:"si"`
}

type faultReply struct {
	Name  sim.FaultName `json:"name"`
	Share float64       `json:"share"`
}

func newCarReply(c *cars) carReply {
	s, config := c.scenario, &c.scenario.Config
	out := carReply{
		Title: s.Title, Name: s.Name(), Document: s.String(), Given: s.Given(), Kind: kindOf(s), Faults: faultText(s),
		Engine: c.engine, Frame: c.frame(), Warnings: []string{},
		Shape: shape{
			Ambient: config.Ambient.Pressure, Booster: config.Booster.Kind != sim.BoosterNone,
			Tandem: kindOf(s) == tandem, Area: config.Booster.Area, Stroke: config.Booster.Stroke,
			Dual: config.Master.Circuits == sim.MasterDual, MasterStroke: config.Master.Stroke,
			Reservoir: config.Reservoir.Volume, Place: config.Reservoir.Place, Pump: config.Pump.FreeFlow > 0,
			Engine:     config.Source.Kind == sim.SourceEngine,
			FrontBrake: config.Car.FrontBrake.Kind, RearBrake: config.Car.RearBrake.Kind,
			Proportions: config.Car.SplitSlope < 1, Meters: config.Car.HoldOff > 0,
			KeepsFront: config.Car.ResidualFront > 0, KeepsRear: config.Car.ResidualRear > 0,
			ManualRatio: s.Manual.PedalRatio, ManualBore: s.Manual.Bore,
		},
	}
	for _, w := range s.Warnings {
		out.Warnings = append(out.Warnings, w.String())
	}
	for _, k := range controls {
		v := k.value(s)
		if !finite(v) {
			v = 0
		}
		out.Controls = append(out.Controls, controlReply{k.id, k.label, k.note, v, k.us, k.si})
	}
	if f := config.Faults; len(f) > 0 {
		out.Fault = &faultReply{f[0].Name, faultShare(f[0])}
	}
	return out
}
