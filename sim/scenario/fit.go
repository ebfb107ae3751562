package scenario

import (
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// Fit says which unknowns of the car a log is to give.
type Fit struct {
	// Find names the unknowns, as [Scenario.Unknown] takes them; empty leaves the
	// choice to the study.
	Find []string
	// Engine is what the engine, or the bench, does where the log begins.
	Engine sim.EngineState
}

// What a log's gauges and its engine do is unknown of no car, and has names of its own: what
// a gauge reads too much, how long it shows nothing of what happens, the time constant with
// which it follows then, the share by which its clock runs fast against the pedal's; and when
// an engine that was on where the log begins stopped.
const (
	VacuumOffset = "vacuum-offset"
	VacuumDelay  = "vacuum-delay"
	VacuumLag    = "vacuum-lag"
	VacuumClock  = "vacuum-clock"
	LineOffset   = "line-offset"
	LineDelay    = "line-delay"
	LineLag      = "line-lag"
	LineClock    = "line-clock"
	EngineStops  = "engine-stops"
)

// ofTheLog are these names in order, with their dimensions.
var ofTheLog = []struct {
	name string
	dim  si.Dimension
}{
	{VacuumOffset, si.DimVacuum}, {VacuumDelay, si.DimTime}, {VacuumLag, si.DimTime}, {VacuumClock, si.DimRatio},
	{LineOffset, si.DimPressure}, {LineDelay, si.DimTime}, {LineLag, si.DimTime}, {LineClock, si.DimRatio},
	{EngineStops, si.DimTime},
}

// An Unknown is one quantity that a log can give.
type Unknown struct {
	// Name is as it was asked for: the path of a key, a fault, or what is a log's own.
	Name string
	Dim  si.Dimension
	// Path is the key that holds it, "" for what is a log's own and for a fault that the scenario
	// has not: Fault is that one's name.
	Path  string
	Fault sim.FaultName
	// Value is the scenario's; 0 for a log's own and for a fault that it has not.
	Value float64
}

// WithUnknowns returns the scenario with the unknowns at some values, in SI; what is
// a log's own changes nothing in it. The error is an [*InputError].
func (s *Scenario) WithUnknowns(unknowns []Unknown, values []float64) (*Scenario, error) {
	var set []Setting
	faults := len(s.Config.Faults)
	for i, u := range unknowns {
		switch {
		case u.Path != "":
			set = append(set, SettingIn(u.Path, u.Dim, values[i]))
		case u.Fault != "":
			set = append(set, Setting{Path: elementKey("fault", faults, "name"), Value: string(u.Fault)},
				SettingIn(elementKey("fault", faults, string(u.Fault.Measure())), u.Dim, values[i]))
			faults++
		}
	}
	if len(set) == 0 {
		return s, nil
	}
	return s.Edit(set)
}

// fittedTables hold quantities that a log can show.
var fittedTables = []string{
	"ambient", "source", "pump", "booster", "hose", "reservoir", "pedal", "master", "circuit.front", "circuit.rear", "fault",
}

const unknownWant = `the key of a quantity of the car such as booster.front_volume, a fault such as front-shell-leak, ` +
	"or what a gauge does, such as " + VacuumOffset + " or " + VacuumDelay

// Unknown finds an unknown by its name: the key of a quantity of the car that a log
// can show, the name of a fault, which stands for its key and need not be in the
// scenario, or what is a log's own. The words say what would be right.
func (s *Scenario) Unknown(name string) (u Unknown, want string) {
	u.Name = name
	for _, own := range ofTheLog {
		if name == own.name {
			u.Dim = own.dim
			return u, ""
		}
	}
	switch {
	case slices.Contains(sim.FaultNames(), sim.FaultName(name)):
		return s.unknownFault(u)
	}
	k, i, ok := keyOf(name)
	if !ok {
		return u, unknownWant + ", " + nearestKey(name)
	}
	table := strings.TrimSuffix(stem(k.path), ".")
	if !slices.Contains(fittedTables, table) {
		return u, unknownWant
	}
	if table == "fault" && i >= len(s.Config.Faults) {
		return u, "a fault that the scenario has, or its name"
	}
	v, isNumber := k.numbers(k.at(s, i))
	switch {
	case !isNumber || k.way && !s.IsSet(name):
		return u, unknownWant
	case len(v) != 1:
		return u, "a quantity with one value; a tandem's can be booster.area"
	case !k.used(s, i):
		return u, "a quantity that this car has"
	case !(v[0] > 0):
		return u, fmt.Sprintf(`a quantity above 0 to start from: here %s is 0, --set %s="..." changes that`, name, name)
	}
	u.Dim, u.Path, u.Value = k.dim, name, v[0]
	return u, ""
}

func (s *Scenario) unknownFault(u Unknown) (Unknown, string) {
	name := sim.FaultName(u.Name)
	measure := string(name.Measure())
	k, _, _ := keyOf("fault[0]." + measure)
	u.Dim = k.dim
	for i, f := range s.Config.Faults {
		if f.Name == name {
			u.Path = elementKey("fault", i, measure)
			v, _ := k.numbers(k.at(s, i))
			u.Value = v[0]
			if !(u.Value > 0) {
				return u, u.Path + " above 0 to start from"
			}
			return u, ""
		}
	}
	u.Fault = name
	return u, ""
}

// fitRules checks the names of [fit].
func (r *resolver) fitRules() {
	set, ok := r.s.set[KeyFitFind]
	if !ok || r.failed[KeyFitFind] || r.part {
		return
	}
	seen := map[string]string{}
	for _, name := range r.s.Fit.Find {
		u, want := r.s.Unknown(name)
		at := u.Name
		if u.Path != "" {
			at = u.Path
		}
		if first, twice := seen[at]; twice && want == "" {
			want = "each unknown once, and " + first + " is the same"
		}
		if want != "" {
			r.fail(set.place, KeyFitFind, strconv.Quote(shorten(name)), want)
			return
		}
		seen[at] = name
	}
}

// deriveFit takes the engine to be off unless an event says otherwise: where there is
// one it runs before, as in a run.
func (r *resolver) deriveFit() {
	if r.isSet(KeyFitEngine) {
		return
	}
	r.s.Fit.Engine = sim.EngineOff
	if len(r.s.Events) > 0 {
		r.s.Fit.Engine = sim.EngineIdle
	}
}

// UnknownNames returns the names that [Scenario.Unknown] takes for a car that has all
// parts, without the keys of faults.
func UnknownNames() []string {
	var names []string
	for _, own := range ofTheLog {
		names = append(names, own.name)
	}
	for _, f := range sim.FaultNames() {
		names = append(names, string(f))
	}
	for i := range keys {
		k := &keys[i]
		table := strings.TrimSuffix(stem(k.path), ".")
		if !slices.Contains(fittedTables, table) || repeated(table) || k.way {
			continue
		}
		if k.typeOf().Kind() == reflect.Float64 {
			names = append(names, k.path)
		}
	}
	return names
}
