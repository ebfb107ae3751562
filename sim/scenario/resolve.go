package scenario

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// resolve works a scenario out from what was written.
func resolve(in *input) (*Scenario, error) {
	r := &resolver{s: defaults(in), in: in, failed: map[string]bool{}}
	r.resolve()
	if err := inputError(r.problems); err != nil {
		return nil, err
	}
	r.strokeForAHardStop()
	r.finish()
	return r.s, nil
}

// problemsOfPart returns what is wrong with the values of a document of which a
// part was not understood; that values are missing says nothing then.
func problemsOfPart(in *input) []Problem {
	r := &resolver{s: defaults(in), in: in, failed: map[string]bool{}, part: true}
	r.resolve()
	return r.problems
}

func (r *resolver) resolve() {
	r.elements()
	r.decode()
	r.exclusive()
	r.derive()
	r.wholeNotHalf()
	r.vacuumInPSI()
	r.limits()
	r.elementRules()
	r.fitRules()
	r.checkConfig()
	r.unused()
}

// resolver is the state of working a scenario out.
type resolver struct {
	s        *Scenario
	in       *input
	problems []Problem
	// failed are the paths that could not be read, or are missing.
	failed map[string]bool
	// part says that a part of the document was not understood.
	part bool
}

func (r *resolver) fail(p place, path, read, want string) {
	r.failed[path] = true
	r.problems = append(r.problems, p.problem(path, read, want))
}

func (r *resolver) isSet(path string) bool {
	_, ok := r.s.set[path]
	return ok
}

// elements makes room for the elements of the repeated tables.
func (r *resolver) elements() {
	for _, table := range repeatedTables {
		n := r.in.elements(table)
		for i := range keys {
			if inTable(keys[i].path, table) {
				r.s.grow(&keys[i], n)
				break
			}
		}
	}
}

// grow makes room for n elements in the table of the key.
func (s *Scenario) grow(k *key, n int) {
	if n == 0 {
		return
	}
	switch table, _, _ := strings.Cut(k.path, "."); table {
	case "press":
		s.Presses = make([]sim.Press, n)
	case "event":
		s.Events = make([]sim.Event, n)
	case "fault":
		s.Config.Faults = make([]sim.Fault, n)
	case "reading":
		s.Readings = make([]Reading, n)
	}
}

func (r *resolver) decode() {
	for _, set := range r.in.settings {
		k, i, ok := keyOf(set.path)
		if !ok && isTable(set.path) {
			r.fail(set.place, set.path, set.value.read(), "a table with keys, such as "+firstKeyOf(set.path))
			continue
		}
		if !ok {
			r.fail(set.place, set.path, "an unknown key", suggestKey(set.path, len(r.problems)))
			continue
		}
		if inTable(k.path, "reading") {
			k = k.shownBy(r.testOf(i))
		}
		ptr := k.at(r.s, i)
		half := 0.0
		observed, wrong := r.observed(k, i, set.value)
		if !observed {
			spelled, note := k.spelled(set.value)
			half, wrong = k.decode(ptr, spelled)
			if wrong == nil && note != "" {
				r.warn(set, set.path, set.value.read(), note)
			}
			if _, code := tyreRadius(set.value.text); wrong == nil && !code {
				set.value = spelled
			}
		}
		if wrong != nil {
			r.fail(set.place, set.path, wrong.read, wrong.want)
			continue
		}
		r.s.set[set.path] = set
		r.s.Spreads = slices.DeleteFunc(r.s.Spreads, func(s Spread) bool { return s.Path == set.path })
		if half > 0 || set.value.hasTolerance() {
			if v, ok := k.numbers(ptr); ok {
				r.s.Spreads = append(r.s.Spreads, Spread{Path: set.path, Dim: k.dim, Value: v[0], HalfWidth: half})
			}
		}
	}
}

// exclusive refuses keys that say the same thing in two ways.
func (r *resolver) exclusive() {
	for _, set := range r.holding() {
		k, _, _ := keyOf(set.path)
		for _, other := range k.alternatives {
			if o, ok := r.s.set[other]; ok && later(set, o) {
				r.fail(set.place, set.path, set.value.read(), "either it or "+other+", not both")
				break
			}
		}
	}
}

// holding returns the settings that no later one of their path replaced, in the
// order written.
func (r *resolver) holding() []setting {
	last := make(map[string]int, len(r.in.settings))
	for i, set := range r.in.settings {
		last[set.path] = i
	}
	var hold []setting
	for i, set := range r.in.settings {
		if r.isSet(set.path) && last[set.path] == i {
			hold = append(hold, set)
		}
	}
	return hold
}

// later reports whether a was written after b.
func later(a, b setting) bool {
	switch {
	case a.layer != b.layer:
		return a.layer > b.layer
	case a.place.line != b.place.line:
		return a.place.line > b.place.line
	}
	return a.path > b.path
}

// limits checks the values that sim.Config.Check does not see.
func (r *resolver) limits() {
	for _, set := range r.holding() {
		path := set.path
		if r.failed[path] {
			continue
		}
		k, i, _ := keyOf(path)
		if wrong := k.outside(k.at(r.s, i), r.system(set)); wrong != nil {
			r.fail(set.place, path, readAs(set, wrong.read), wrong.want)
		}
	}
}

// readAs prefers what was written to the same value printed.
func readAs(set setting, printed string) string {
	if set.value.kind == listValue {
		return printed
	}
	return set.value.read()
}

// checkConfig places the problems of the configuration at the keys that were
// set: at the key itself, or at another that its limit depends on.
func (r *resolver) checkConfig() {
	inUS := r.s.Config.CheckIn(si.US)
	for i, p := range r.s.Config.Check() {
		paths := keysOf(p)
		own := paths[0]
		// One problem a value is enough: its relations to others follow from it.
		if slices.ContainsFunc(paths, func(path string) bool { return r.failed[path] }) {
			continue
		}
		if r.part && (len(p.With) > 0 || !r.isSet(own)) {
			continue
		}
		named := own
		for _, path := range paths {
			if r.isSet(path) {
				named = path
				break
			}
		}
		at, written := r.in.placeOf(named)
		if set, ok := r.s.set[named]; ok && r.system(set) == si.US {
			p = inUS[i]
		}
		read := p.Read
		switch {
		case named == KeySourceVacuum && r.s.estimated:
			read += " (estimated)"
		case !written:
			read += " (default)"
		case named != own:
			read = fmt.Sprintf("%s with %s %s", r.s.set[named].value.read(), own, p.Read)
		default:
			read = readAs(r.s.set[named], p.Read)
		}
		if p.Fatal {
			r.fail(at, named, read, p.Want)
		} else {
			r.s.Warnings = append(r.s.Warnings, at.problem(named, read, p.Want))
		}
	}
}

// unused warns about values that were set and have no meaning here.
func (r *resolver) unused() {
	for _, set := range r.holding() {
		path := set.path
		k, i, _ := keyOf(path)
		if r.failed[path] || k.used(r.s, i) {
			continue
		}
		reason := "a scenario in which it is used"
		switch table, _, _ := strings.Cut(path, "."); {
		case table == "booster":
			reason = `no other key of [booster] beside kind = "none"`
		case path == KeySourceMeasuredInGear && r.s.estimated:
			reason = "source.vacuum as it was measured"
		case (table == "cam" || leaf(path) == "cylinders" || leaf(path) == "cylinder_bore") && engine(r.s, i):
			reason = "cam.duration for it to be used"
		case table == "cam":
			reason = `source.kind = "engine" for it to be used`
		case table == "source":
			reason = `kind = "engine" for it to be used`
		case strings.HasSuffix(path, ".rotor_diameter"):
			reason = "drum_diameter, since these brakes are drums"
		case strings.HasSuffix(path, ".drum_diameter"):
			reason = "rotor_diameter, or a kind of drum, since these brakes are discs"
		case strings.HasSuffix(path, ".shoe_factor"):
			reason = `a kind of drum, such as kind = "leading-trailing", for it to be used`
		case strings.HasPrefix(path, "brake.") && leaf(path) == "friction":
			reason = "shoe_factor left out too, since it holds the friction"
		case table == "pump":
			reason = "pump.free_flow above 0 for it to be used"
		case table == "reservoir":
			reason = "reservoir.volume above 0 for it to be used"
		case len(k.alternatives) > 0, repeated(strings.SplitN(table, "[", 2)[0]), table == "choose":
			continue
		}
		r.s.Warnings = append(r.s.Warnings, set.place.problem(path, set.value.read(), reason))
	}
	if d, ok := r.s.set[KeyBoosterDiameter]; ok {
		if a, ok := r.s.set[KeyBoosterArea]; ok && d.layer > a.layer {
			r.s.Warnings = append(r.s.Warnings, d.place.problem(KeyBoosterDiameter, d.value.read(),
				"booster.area changed or left out too, since it overrides what the diameter gives"))
		}
	}
}

// finish puts everything in order.
func (r *resolver) finish() {
	s := r.s
	slices.SortFunc(s.Spreads, func(a, b Spread) int { return cmp.Compare(a.Path, b.Path) })
	s.Warnings = once(s.Warnings)
	if e, ok := inputError(s.Warnings).(*InputError); ok {
		s.Warnings = e.Problems
	}
}

// once returns the problems without those that say the same of the same value again,
// as two ways to the same limit do.
func once(problems []Problem) []Problem {
	seen := map[Problem]bool{}
	return slices.DeleteFunc(problems, func(p Problem) bool {
		again := seen[p]
		seen[p] = true
		return again
	})
}

// neatly returns a whole number of units as a text of it reads: a constant is worked
// out more exactly, and would be written with every digit that this takes.
func neatly(v, unit si.Force) si.Force { return si.Force(math.Round(float64(v/unit))) * unit }

// defaults returns a scenario in which nothing was set.
func defaults(in *input) *Scenario {
	inch, litre, pound := si.Length(si.Inch), si.Volume(si.Litre), si.Force(si.PoundForce)
	return &Scenario{
		Config: sim.Typical(),
		Manual: Manual{PedalRatio: 6, Bore: 7 * inch / 8},
		Reserve: Reserve{
			Engine: sim.EngineOff, FilledAt: sim.EngineIdle,
			Deceleration: verdict.EverydayStop, Press: 0.3, Hold: 2, Release: 0.3, Pause: 6,
			Stops: 10, ForceLimit: verdict.LegalPedal, ShareLimit: 0.1,
		},
		Choose: Choose{
			Deceleration: verdict.ChosenStop, PedalLimit: 250, DeadLimit: neatly(verdict.HeavyPedal, pound), StopsLeft: 2, RechargeLimit: 10, TravelLimit: 110e-3,
			Boosters: []BoosterSize{
				{Text: "7 in", Diameters: []si.Length{7 * inch}},
				{Text: "8 in", Diameters: []si.Length{8 * inch}},
				{Text: "9 in", Diameters: []si.Length{9 * inch}},
				{Text: "10 in", Diameters: []si.Length{10 * inch}},
				{Text: "11 in", Diameters: []si.Length{11 * inch}},
				{Text: "7 in + 7 in", Diameters: []si.Length{7 * inch, 7 * inch}},
				{Text: "7 in + 8 in", Diameters: []si.Length{7 * inch, 8 * inch}},
				{Text: "8 in + 8 in", Diameters: []si.Length{8 * inch, 8 * inch}},
				{Text: "8 in + 9 in", Diameters: []si.Length{8 * inch, 9 * inch}},
				{Text: "none"},
			},
			Reservoirs: []si.Volume{0, 2 * litre}, Pumps: []bool{false, true},
			Bores: []si.Length{7 * inch / 8, 15 * inch / 16, inch},
		},
		input: in,
		set:   map[string]setting{},
	}
}
