package scenario

import (
	"fmt"
	"slices"
	"strings"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// elementKey returns the path of a key of an element: "press[0].pedal".
func elementKey(table string, i int, name string) string {
	return fmt.Sprintf("%s[%d].%s", table, i, name)
}

// readingTakes reports whether a reading has a meaning for the field.
func readingTakes(name string) func(*Scenario, int) bool {
	return func(s *Scenario, i int) bool { return s.Readings[i].takes(name) }
}

func (r Reading) takes(name string) bool {
	form, ok := r.Test.Form()
	if name == "error" {
		return ok && form.Reads != "answer"
	}
	return slices.Contains(r.Test.fields(), name) || slices.Contains(form.Optional, name)
}

// elementRules checks the elements of the repeated tables.
func (r *resolver) elementRules() {
	for i := range r.s.Presses {
		r.needs("press", i, "at", `a time such as "5 s"`)
		if !r.isSet(elementKey("press", i, "deceleration")) {
			r.needs("press", i, "pedal", `a force such as "150 N", or a deceleration`)
		}
	}
	r.overlaps()
	for i := range r.s.Events {
		r.needs("event", i, "at", `a time such as "20 s"`)
		r.needs("event", i, "engine", `a state such as "off"`)
	}
	for i := range r.s.Config.Faults {
		r.fault(i)
	}
	for i := range r.s.Readings {
		r.reading(i)
	}
}

// needs reports a key that an element must have, at the element's header.
func (r *resolver) needs(table string, i int, name, want string) bool {
	path := elementKey(table, i, name)
	if r.isSet(path) || r.failed[path] {
		return !r.failed[path]
	}
	if r.part {
		return false
	}
	p, _ := r.in.placeOf(path)
	r.fail(p, path, "nothing", want)
	return false
}

// refuse reports the keys of an element that its kind has no meaning for.
func (r *resolver) refuse(table string, i int, kind string, names []string) {
	for k := range keys {
		name, ok := strings.CutPrefix(keys[k].path, table+".")
		if !ok || keys[k].used(r.s, i) {
			continue
		}
		path := elementKey(table, i, name)
		if set, ok := r.s.set[path]; ok && !r.failed[path] {
			r.fail(set.place, path, set.value.read(), "only "+strings.Join(names, ", ")+" for "+kind)
		}
	}
}

func (r *resolver) fault(i int) {
	if !r.needs("fault", i, "name", `a fault such as "front-shell-leak"`) {
		return
	}
	f := r.s.Config.Faults[i]
	measure := string(f.Name.Measure())
	r.refuse("fault", i, string(f.Name), []string{measure})
	example := map[sim.FaultMeasure]string{
		sim.FaultByArea: `an area such as "0.05 mm2"`, sim.FaultByOpen: "a share from 0 to 1", sim.FaultBySeverity: "a number from 0 to 1",
	}
	r.needs("fault", i, measure, example[f.Name.Measure()])
}

func (r *resolver) reading(i int) {
	if !r.needs("reading", i, "test", `a test such as "leak-down"`) {
		return
	}
	test := r.s.Readings[i].Test
	form, _ := test.Form()
	r.refuse("reading", i, string(test), append(test.fields(), form.Optional...))
	example := map[string]string{
		"pedal": `a force such as "0 N"`, "start": `a vacuum such as "20 inHg"`, "lasts": `a time such as "15 s"`,
		"drop": `a vacuum such as "1 inHg"`, "vacuum": `a vacuum such as "20 inHg"`, "value": `a vacuum such as "18 inHg"`,
		"travel": `a length such as "1.5 in"`, "takes": `a time such as "2 s"`,
		"count": "a whole number", "answer": form.answerWant(), "axle": `"front", "rear" or "both"`,
	}
	if form.Dim == si.DimPressure {
		example["value"] = `a pressure such as "900 psi"`
	}
	for _, name := range test.fields() {
		r.needs("reading", i, name, example[name])
	}
	r.readingVacua(i)
}

// readingVacua refuses vacua above the ambient pressure.
func (r *resolver) readingVacua(i int) {
	reading := r.s.Readings[i]
	below := func(name string, v, most si.Vacuum, what string) {
		path := elementKey("reading", i, name)
		set, ok := r.s.set[path]
		if !ok || r.failed[path] || !reading.takes(name) || v <= most {
			return
		}
		r.fail(set.place, path, set.value.read(), fmt.Sprintf("at most %s of %s", what, most))
	}
	if path := elementKey("reading", i, "value"); r.isSet(path) && !r.failed[path] && reading.Value < 0 && reading.Test != PressureCreep {
		r.fail(r.s.set[path].place, path, r.s.set[path].value.read(), "0 or more")
	}
	ambient := si.Vacuum(r.s.Config.Ambient.Pressure)
	below("start", reading.Start, ambient, "the ambient pressure")
	below("drop", reading.Drop, reading.Start, "the vacuum at the start")
	below("vacuum", reading.Vacuum, ambient, "the ambient pressure")
	if reading.Test.readsVacuum() {
		below("value", si.Vacuum(reading.Value), ambient, "the ambient pressure")
	}
}

// overlaps refuses a press that begins before the one before it has ended.
func (r *resolver) overlaps() {
	order := make([]int, 0, len(r.s.Presses))
	for i := range r.s.Presses {
		if r.isSet(elementKey("press", i, "at")) {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(a, b int) int {
		switch d := r.s.Presses[a].At - r.s.Presses[b].At; {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	for n := 1; n < len(order); n++ {
		before, i := r.s.Presses[order[n-1]], order[n]
		path := elementKey("press", i, "at")
		if r.failed[path] || r.s.Presses[i].At >= before.End() {
			continue
		}
		set := r.s.set[path]
		r.fail(set.place, path, set.value.read(),
			fmt.Sprintf("%s or later, when the press before it has ended", before.End()))
	}
}
