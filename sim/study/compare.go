package study

import (
	"context"
	"fmt"
	"strings"

	"kneepoint/internal/batch"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A ComparedCar is one of several cars side by side, with what is found of each.
type ComparedCar struct {
	Name     string
	Scenario *scenario.Scenario
	Curve    *CurveResult
	Reserve  *ReserveResult
}

// A Difference is an input that is not the same in all cars.
type Difference struct {
	Key string
	// Entries are those of the cars, in order; nil where the key has no meaning.
	Entries []*scenario.Entry
	// Given says that a car has it set; else it follows from another difference.
	Given bool
}

// CompareResult is the answer to what differs between cars, and what comes of it.
type CompareResult struct {
	Cars        []ComparedCar
	Differences []Difference
	// Completes makes a car's curve and reserve the documents that those verbs print;
	// nil leaves them as the studies give them.
	Completes func(s *scenario.Scenario, document any) any
}

// Compare asks Curve and Reserve about each of the cars, which have a name and a scenario.
func Compare(ctx context.Context, cars []ComparedCar, w Watch) (*CompareResult, error) {
	r := &CompareResult{Cars: cars, Differences: differences(cars)}
	_, err := batch.ForEach(ctx, len(cars), w, func(ctx context.Context, i int) (err error) {
		car := &r.Cars[i]
		if car.Curve, err = Curve(ctx, car.Scenario, CurveOptions{}); err == nil {
			car.Reserve, err = Reserve(ctx, car.Scenario, nil)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", car.Name, err)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return r, nil
}

// differences finds the inputs that differ: first those that a car has set, then those
// that follow.
func differences(cars []ComparedCar) []Difference {
	var paths []string
	byPath := map[string][]*scenario.Entry{}
	for i, car := range cars {
		for _, e := range car.Scenario.Entries() {
			if byPath[e.Path] == nil {
				byPath[e.Path] = make([]*scenario.Entry, len(cars))
				paths = append(paths, e.Path)
			}
			byPath[e.Path][i] = &e
		}
	}
	var given, follow []Difference
	for _, path := range paths {
		d := Difference{Key: path, Entries: byPath[path]}
		if path == "title" || d.same() {
			continue
		}
		for _, e := range d.Entries {
			d.Given = d.Given || e != nil && e.Origin == scenario.Set
		}
		if d.Given {
			given = append(given, d)
		} else {
			follow = append(follow, d)
		}
	}
	return append(given, follow...)
}

// same reports whether all cars have the same value.
func (d Difference) same() bool {
	first := d.Entries[0]
	for _, e := range d.Entries[1:] {
		if (e == nil) != (first == nil) || e != nil && (e.TOML != first.TOML || e.HalfWidth != first.HalfWidth) {
			if e == nil || first == nil || !equal(e.SI, first.SI) {
				return false
			}
		}
	}
	return true
}

// equal compares quantities, which can be written in several ways.
func equal(a, b []float64) bool {
	if len(a) == 0 || len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

// value is what the i-th car has, as printed; a dash where the key has no meaning.
func (d Difference) value(i int, u si.System) string {
	if d.Entries[i] == nil {
		return "—"
	}
	return d.Entries[i].Text(u)
}

// Words say what was changed, and of each car what curve and reserve say first.
func (r *CompareResult) Words(u si.System) []string {
	words := []string{r.changed(u)}
	for _, car := range r.Cars {
		words = append(words, car.Name+": "+car.Curve.Words(u)[0]+" "+car.Reserve.Words(u)[0])
	}
	return words
}

// changed says in what the cars differ.
func (r *CompareResult) changed(u si.System) string {
	var given []string
	follow := 0
	for _, d := range r.Differences {
		if !d.Given {
			follow++
			continue
		}
		values := make([]string, len(r.Cars))
		for i := range r.Cars {
			values[i] = d.value(i, u)
		}
		given = append(given, d.Key+" ("+strings.Join(values, " / ")+")")
	}
	const most = 6 // beyond that the table says it better
	switch {
	case len(r.Differences) == 0:
		return "These cars do not differ in any input."
	case len(given) > most:
		return fmt.Sprintf("These cars differ in %d inputs that were given and %d that follow from them.", len(given), follow)
	}
	text := "They differ in " + listed(given, "and")
	switch follow {
	case 0:
	case 1:
		text += "; one more input follows from that"
	default:
		text += fmt.Sprintf("; %d more inputs follow from that", follow)
	}
	return text + "."
}

// Tables are the inputs that differ, a column a car, and the figures, a row a car.
func (r *CompareResult) Tables() []answer.Table {
	diff := answer.Table{Name: "differences", Columns: []answer.Column{{Key: "key", Title: "input that differs"}}}
	for i, car := range r.Cars {
		diff.Columns = append(diff.Columns, answer.Column{Key: fmt.Sprintf("car_%d", i+1), Title: car.Name})
	}
	for _, d := range r.Differences {
		row := []answer.Cell{d.Key}
		for i := range r.Cars {
			row = append(row, answer.Phrase(func(u si.System) string { return d.value(i, u) }))
		}
		diff.Rows = append(diff.Rows, row)
	}
	figures := answer.Table{Name: "figures", Columns: []answer.Column{
		{Key: "car", Title: "car"},
		{Key: "vacuum", Title: "vacuum", Dim: si.DimVacuum},
		{Key: "knee_pedal", Title: "knee at", Dim: si.DimForce},
		{Key: "knee_line", Title: "with line", Dim: si.DimPressure},
		{Key: "hard_stop_pedal", Title: "hard stop", Dim: si.DimForce},
		{Key: "first_stop_pedal", Title: "engine dead, first stop", Dim: si.DimForce},
		{Key: "easy_stops", Title: "easy"},
		{Key: "heavy_stops", Title: "at most heavy"},
	}}
	for _, car := range r.Cars {
		c := &car.Curve.Curves[0]
		figures.Rows = append(figures.Rows, []answer.Cell{
			car.Name, c.Vacuum.Cell(), c.Knee.Pedal.Cell(), c.Knee.Line.Cell(), c.HardStopPedal.Cell(),
			car.Reserve.Stops[0].Needed.Cell(), car.Reserve.EasyStops, car.Reserve.HeavyStops,
		})
	}
	return []answer.Table{diff, figures}
}

// Figures is the line pressure over the pedal force of every car.
func (r *CompareResult) Figures() []answer.Figure {
	p := answer.Panel{
		X: answer.Axis{Label: "Pedal force", Dim: si.DimForce},
		Y: answer.Axis{Label: "Line pressure", Dim: si.DimPressure},
	}
	roles := []answer.Role{answer.Main, answer.Second, answer.Third}
	for i, car := range r.Cars {
		role := answer.Shadow
		if i < len(roles) {
			role = roles[i]
		}
		c := &car.Curve.Curves[0]
		press, _ := split(c.Points)
		p.Curves = append(p.Curves, answer.Curve{Label: car.Name, X: pedals(press), Y: pressures(press), Role: role})
		if c.Knee.Pedal.Exists() {
			p.Marks = append(p.Marks, answer.Mark{Label: "knee", X: float64(c.Knee.Pedal.Value()), Y: float64(c.Knee.Line.Value())})
		}
	}
	return []answer.Figure{{Name: "compare", Title: "Force curves side by side", Panels: []answer.Panel{p},
		Note: "Slow presses, simulated. " + planningNote}}
}

var _ answer.Answer = (*CompareResult)(nil)
