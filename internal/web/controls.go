package web

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kneepoint/internal/portable"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A control is a slider of the page: one value of the scenario, in two systems
// of units. What it sends goes through the scenario's decoder like a flag.
type control struct {
	id, label, note string
	us, si          span
	value           func(*scenario.Scenario) float64
	// turn says what a new value sets, and what is left to its default again.
	turn func(s *scenario.Scenario, value string) (set []scenario.Setting, unset []string)
}

// A span is the range of a slider in one unit.
type span struct {
	Unit  string  `json:"unit"`
	Scale float64 `json:"scale"`
	Min   float64 `json:"min"`
	Max   float64 `json:"max"`
	Step  float64 `json:"step"`
}

func sets(path string) func(*scenario.Scenario, string) ([]scenario.Setting, []string) {
	return func(_ *scenario.Scenario, value string) ([]scenario.Setting, []string) {
		return []scenario.Setting{{Path: path, Value: value}}, nil
	}
}

var controls = []control{
	{
		id: "vacuum", label: "Idle vacuum", note: "what a gauge on the manifold reads at idle, in gear",
		us:    span{"inHg", float64(si.InchOfMercury), 4, 24, 0.5},
		si:    span{"kPa", 1e3, 14, 80, 1},
		value: func(s *scenario.Scenario) float64 { return float64(s.Config.Source.Vacuum) },
		turn:  sets(scenario.KeySourceVacuum),
	},
	{
		id: "diameter", label: "Booster size", note: "diameter of the shell; area and volumes follow",
		us: span{"in", float64(si.Inch), 6, 12, 0.5},
		si: span{"mm", 1e-3, 150, 300, 5},
		value: func(s *scenario.Scenario) float64 {
			if b := s.Config.Booster; len(b.Diameters) > 0 {
				return float64(b.Diameters[0])
			}
			// That of a single with this area.
			return math.Sqrt(float64(s.Config.Booster.Area) / 0.92 * 4 / math.Pi)
		},
		turn: func(s *scenario.Scenario, value string) ([]scenario.Setting, []string) {
			return resize(value, len(s.Config.Booster.Diameters) > 1)
		},
	},
	{
		id: "reservoir", label: "Reservoir", note: "a tank in the hose with a valve of its own; 0 is none",
		us:    span{"qt", float64(si.Quart), 0, 10, 0.5},
		si:    span{"L", float64(si.Litre), 0, 10, 0.5},
		value: func(s *scenario.Scenario) float64 { return float64(s.Config.Reservoir.Volume) },
		turn: func(_ *scenario.Scenario, value string) ([]scenario.Setting, []string) {
			if v, err := si.ParseAs[si.Volume](value); err == nil && v == 0 {
				return nil, []string{"reservoir"}
			}
			return []scenario.Setting{{Path: scenario.KeyReservoirVolume, Value: value}}, nil
		},
	},
	{
		id: "pedal", label: "Pedal ratio", note: "force on the rod over force of the foot",
		us:    span{"", 1, 2.5, 8, 0.1},
		si:    span{"", 1, 2.5, 8, 0.1},
		value: func(s *scenario.Scenario) float64 { return float64(s.Config.Pedal.Ratio) },
		turn:  sets(scenario.KeyPedalRatio),
	},
	{
		id: "bore", label: "Master cylinder bore", note: "a larger one is a harder, shorter pedal",
		us:    span{"in", float64(si.Inch), 0.625, 1.25, 0.0625},
		si:    span{"mm", 1e-3, 16, 32, 0.5},
		value: func(s *scenario.Scenario) float64 { return float64(s.Config.Master.Bore) },
		turn:  sets(scenario.KeyMasterBore),
	},
	{
		id: "altitude", label: "Altitude", note: "of the road; the vacuum gauge was read where the car is at home",
		us:    span{"ft", float64(si.Foot), 0, 10000, 250},
		si:    span{"m", 1, 0, 3000, 100},
		value: altitude,
		turn:  climb,
	},
}

// altitude is what was set, or the height at which the standard atmosphere has
// the pressure (ISA, the troposphere's formula).
func altitude(s *scenario.Scenario) float64 {
	for _, e := range s.Entries() {
		if e.Path == scenario.KeyAmbientAltitude && e.Origin == scenario.Set && len(e.SI) == 1 {
			return e.SI[0]
		}
	}
	const seaLevel, height, exponent = 101325.0, 44330.8, 1 / 5.25588
	return height * (1 - portable.Pow(float64(s.Config.Ambient.Pressure)/seaLevel, exponent))
}

// climb takes the car to another altitude. A reading of the vacuum was made at
// home and stays what it was there.
func climb(s *scenario.Scenario, value string) ([]scenario.Setting, []string) {
	set := []scenario.Setting{{Path: scenario.KeyAmbientAltitude, Value: value}}
	if s.Config.Source.Kind == sim.SourceEngine && !s.IsSet(scenario.KeySourceMeasuredAt) && !s.IsSet(scenario.KeySourceMeasuredPressure) {
		set = append(set, scenario.SettingOf(scenario.KeySourceMeasuredPressure, s.Config.Source.MeasuredPressure))
	}
	return set, []string{scenario.KeyAmbientPressure}
}

// resize gives the booster one or two shells of a size, and lets area and
// volumes follow.
func resize(diameter string, tandem bool) ([]scenario.Setting, []string) {
	value := diameter
	if tandem {
		value = fmt.Sprintf("[%q, %q]", diameter, diameter)
	}
	return []scenario.Setting{{Path: scenario.KeyBoosterDiameter, Value: value}},
		[]string{scenario.KeyBoosterArea, scenario.KeyBoosterFrontVolume, scenario.KeyBoosterRearVolume}
}

// Kinds of booster, as a choice of the page.
const (
	single = "single"
	tandem = "tandem"
	none   = "none"
)

func kindOf(s *scenario.Scenario) string {
	switch {
	case s.Config.Booster.Kind == sim.BoosterNone:
		return none
	case len(s.Config.Booster.Diameters) > 1:
		return tandem
	}
	return single
}

// A changeError is a change that the page does not offer.
type changeError struct{ at, read, want string }

func (e *changeError) Error() string {
	return fmt.Sprintf("%s: read %q, want %s", e.at, e.read, e.want)
}

// turn applies one change of the page to a scenario, through its decoder.
func turn(s *scenario.Scenario, in changeRequest) (*scenario.Scenario, error) {
	switch in.Control {
	case "kind":
		return chooseKind(s, in.Value)
	case "circuits":
		return s.With(scenario.KeyMasterCircuits, in.Value)
	case "fault":
		return chooseFault(s, in)
	}
	i := slices.IndexFunc(controls, func(c control) bool { return c.id == in.Control })
	if i < 0 {
		return nil, &changeError{"control", in.Control, "a control of the page"}
	}
	set, unset := controls[i].turn(s, in.Value)
	return s.Edit(set, unset...)
}

func chooseKind(s *scenario.Scenario, kind string) (*scenario.Scenario, error) {
	if kind == none {
		return s.With(scenario.KeyBoosterKind, "none")
	}
	if kind != single && kind != tandem {
		return nil, &changeError{"kind", kind, "single, tandem or none"}
	}
	diameter := usualDiameter
	if there, err := s.Edit(nil, scenario.KeyBoosterKind); err == nil {
		s = there
		diameter = fmt.Sprintf("%.4g mm", 1e3*controlOf("diameter").value(s))
		if d := s.Config.Booster.Diameters; len(d) > 0 {
			diameter = scenario.QuantityText(si.DimLength, float64(d[0]))
		}
	}
	set, unset := resize(diameter, kind == tandem)
	return s.Edit(set, append(unset, scenario.KeyBoosterKind)...)
}

// usualDiameter is for a car whose scenario cannot be read without booster.kind.
const usualDiameter = "9 in"

func controlOf(id string) control {
	return controls[slices.IndexFunc(controls, func(c control) bool { return c.id == id })]
}

// The worst of a fault on the page: its slider runs evenly from a hair to this
// for a shut-off, and by powers of ten for a leak (estimates).
const (
	leastLeak = 0.01e-6 // m²
	worstLeak = 10e-6
	worstOpen = 0.02
)

// usualShare is how bad a fault is when it is first chosen: bad enough that a figure
// of the page tells it (a test holds each against a healthy car).
func usualShare(n sim.FaultName) float64 {
	switch n {
	case sim.FaultFilterBlocked, sim.FaultPushrodTooLong:
		return 1
	case sim.FaultHoseLeak, sim.FaultHoseRestricted, sim.FaultBoosterUndersized, sim.FaultDiaphragmTorn,
		sim.FaultVacuumSeatLeak, sim.FaultOutsideLeak, sim.FaultMasterBypass:
		return 0.85
	}
	return 0.5
}

// chooseFault puts one fault in the place of all.
func chooseFault(s *scenario.Scenario, in changeRequest) (*scenario.Scenario, error) {
	if in.Value == none || in.Value == "" {
		return s.Edit(nil, "fault")
	}
	share := usualShare(sim.FaultName(in.Value))
	if in.Share != nil {
		share = *in.Share
	}
	name := sim.FaultName(in.Value)
	set := []scenario.Setting{{Path: "fault[0].name", Value: in.Value}}
	if slices.Contains(sim.FaultNames(), name) {
		set = append(set, faultSetting(name, share))
	}
	return s.Edit(set, "fault")
}

func faultSetting(name sim.FaultName, share float64) scenario.Setting {
	switch name.Measure() {
	case sim.FaultByArea:
		area := leastLeak * portable.Pow(worstLeak/leastLeak, share)
		return scenario.Setting{Path: "fault[0].area", Value: fmt.Sprintf("%.2g mm2", 1e6*area)}
	case sim.FaultByOpen:
		return scenario.Setting{Path: "fault[0].open", Value: fmt.Sprintf("%.3g", 1-(1-worstOpen)*share)}
	}
	return scenario.Setting{Path: "fault[0].severity", Value: fmt.Sprintf("%.3g", share)}
}

// faultShare is where the slider stands for a fault: faultSetting turned round.
func faultShare(f sim.Fault) float64 {
	share := float64(f.Severity)
	switch f.Name.Measure() {
	case sim.FaultByArea:
		share = portable.Log(float64(f.Area)/leastLeak) / portable.Log(worstLeak/leastLeak)
	case sim.FaultByOpen:
		share = (1 - float64(f.Open)) / (1 - worstOpen)
	}
	return min(max(share, 0), 1)
}

// faultText says how bad a fault is.
func faultText(s *scenario.Scenario) string {
	var parts []string
	for _, f := range s.Config.Faults {
		how := fmt.Sprintf("severity %.2g", float64(f.Severity))
		switch f.Name.Measure() {
		case sim.FaultByArea:
			how = fmt.Sprintf("a hole of %.2g mm²", 1e6*float64(f.Area))
		case sim.FaultByOpen:
			how = fmt.Sprintf("%.0f %% still open", 100*float64(f.Open))
		}
		parts = append(parts, strings.ReplaceAll(string(f.Name), "-", " ")+", "+how)
	}
	return strings.Join(parts, "; ")
}
