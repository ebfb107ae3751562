package fit

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"kneepoint/internal/portable"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Words say what was found and how sure it is, what the log cannot tell, whether the
// model meets the log, and how the log was used.
func (r *Result) Words(u si.System) []string {
	words := append(r.fit.doubts(u), r.headline(u, (*Fitted).name, (*Fitted).now))
	words = append(words, r.leftOutWords(4)...)
	words = append(words, r.foundWords(u)...)
	for i := range r.Unknowns {
		words = append(words, r.Unknowns[i].words(u))
	}
	words = append(words, r.indistinguishableWords(u)...)
	words = append(words, r.closeWords()...)
	words = append(words, r.gaugeWords(u)...)
	if !r.Converged {
		words = append(words, r.restlessWords())
	}
	if why := r.fit.why; why != "" {
		words = append(words, fmt.Sprintf("Nothing was asked for with --find, so these were looked for: %s.", why))
	}
	for i, d := range r.fit.logs {
		said := d.words(u)
		if len(r.fit.logs) > 1 {
			said[0] = r.fit.logs[i].log.Name + ": " + said[0]
		}
		words = append(words, said...)
	}
	counted := "the gauge's scatter alone"
	if r.fit.mostForce() > freePedal {
		counted = "the scatter of the gauges and of the load cell, and of when between two rows the foot moved"
	}
	return append(words, "All else was taken from the scenario as it stands, and its errors go into these values uncounted; the standard errors are of "+counted+". The vacuum where the log begins is always an unknown, since the first reading scatters like any other. Its clock is taken as right: one that runs 3 % fast for all columns makes a leak look 3 % small, and nothing shows it.")
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func (r *Result) restlessWords() string {
	return fmt.Sprintf("The search stopped after %s without coming to rest: take the values as a beginning, and start it again from there with --set.", count(r.Steps, "step"))
}

// now is the value that was found, and withRange that with where it lies.
func (v *Fitted) now(u si.System) string { return v.value(v.Estimate, u) }

func withRange(v *Fitted, u si.System) string {
	if math.IsNaN(v.Low) {
		return v.now(u)
	}
	return fmt.Sprintf("%s (95 %% range %s)", v.now(u), si.Spanned(v.value(v.Low, u), v.value(v.High, u)))
}

// headline is the answer in a sentence, with names and values as they are to be told.
func (r *Result) headline(u si.System, named func(*Fitted) string, valued func(*Fitted, si.System) string) string {
	rows, lasts := 0, 0.0
	for _, d := range r.fit.logs {
		rows += d.log.Rows
		lasts += float64(d.log.Until() - d.log.From())
	}
	text := "From "
	if n := len(r.fit.logs); n > 1 {
		text += count(n, "log") + " with "
	}
	text += fmt.Sprintf("%s over %s: ", count(rows, "row"), si.FormatFine(si.DimTime, si.Significant(lasts, 3), u))
	if len(r.fit.doubts(u)) > 0 {
		text += "taken as labelled, "
	}
	if r.Fault != nil {
		text += "a car with " + r.Fault.orFaults(u) + " meets the log far better than one without. With the fault: " + valuesOf(r.Fault.Others, u) + ". Without it, which is no good answer then: "
	}
	var parts, not []string
	for i := range r.Unknowns {
		v := &r.Unknowns[i]
		switch {
		case !v.Asked:
		case v.AtMost > 0:
			parts = append(parts, fmt.Sprintf("%s at most %s", named(v), fitted(v.Dim, v.AtMost, v.AtMost/2, u)))
		case v.Silent || v.Indistinguishable:
			not = append(not, named(v))
		default:
			parts = append(parts, named(v)+" "+valued(v, u))
		}
	}
	switch {
	case len(parts) == 0:
		return text + "nothing that was looked for can be told from this log."
	case len(not) > 0:
		return text + strings.Join(parts, ", ") + "; this log does not tell " + strings.Join(not, ", ") + "."
	}
	return text + strings.Join(parts, ", ") + "."
}

// value prints a value of the unknown to the digits that its error leaves.
func (v *Fitted) value(value float64, u si.System) string {
	return fitted(v.Dim, value, v.Error, u)
}

// fitted prints a value to the digits that its error leaves. The area of a leak is told in mm²
// everywhere, as pinholes are.
func fitted(dim si.Dimension, value, err float64, u si.System) string {
	const pinhole = 20e-6
	if dim == si.DimArea && math.Abs(value) < pinhole {
		u = si.SI
	}
	digits := 3
	if err > 0 && value != 0 {
		digits = int(math.Ceil(portable.Log10(math.Abs(value)/err))) + 1
	}
	return rounded(dim, value, digits, u)
}

// rounded prints a value to a number of digits in the unit that it is shown in, at
// most four.
func rounded(dim si.Dimension, value float64, digits int, u si.System) string {
	text := si.FormatFine(dim, value, u)
	number, unit, _ := strings.Cut(text, " ")
	n, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return text
	}
	text = strconv.FormatFloat(si.Significant(n, min(max(digits, 1), 4)), 'f', -1, 64)
	if unit != "" {
		text += " " + unit
	}
	return text
}

// words are one unknown's paragraph.
func (v *Fitted) words(u si.System) string {
	begun := fmt.Sprintf("the search began at %s", fitted(v.Dim, v.Start, 0, u))
	switch {
	case v.found:
		begun = fmt.Sprintf("the scenario has no such leak; of some sizes %s was the best to begin with", fitted(v.Dim, v.Start, 0, u))
	case v.Added && v.Start > 0:
		begun = fmt.Sprintf("the scenario's is %s", fitted(v.Dim, v.Start, 0, u))
	case v.Added:
		begun = "added by the program"
	case !v.Asked:
		begun = "first reading " + fitted(v.Dim, v.Start, 0, u)
	}
	name := v.name() + ": "
	switch {
	case v.AtLimit && v.Estimate == 0:
		return name + "none shows: the log asks for nothing above 0."
	case v.AtLimit:
		return name + fmt.Sprintf("ran to the limit of what the model takes, %s (%s). The log asks for more, or something else is wrong in the scenario.", v.value(v.Estimate, u), begun)
	case v.AtMost > 0:
		return name + fmt.Sprintf("none shows. In 95 logs of 100 one larger than %s would.", fitted(v.Dim, v.AtMost, v.AtMost/2, u))
	case v.Silent:
		return name + fmt.Sprintf("the log has nothing to say about it; it was left near %s.", fitted(v.Dim, v.Estimate, 0, u))
	case v.Indistinguishable:
		return name + fmt.Sprintf("not to be told from the others here; it was left near %s, which is no estimate.", fitted(v.Dim, v.Estimate, 0, u))
	}
	return name + fmt.Sprintf("%s, standard error %s, 95 %% range %s (%s).", v.value(v.Estimate, u), errorText(v, u),
		si.Spanned(v.value(v.Low, u), v.value(v.High, u)), begun)
}

// errorText prints a standard error to two digits.
func errorText(v *Fitted, u si.System) string {
	const pinhole = 20e-6
	if v.Dim == si.DimArea && v.Estimate < pinhole {
		u = si.SI
	}
	if v.Dim == si.DimTemperature { // a difference, which has no zero to count from
		unit := v.Dim.Unit(u)
		return rounded(si.DimNone, v.Error/unit.Scale, 2, u) + " " + unit.Name
	}
	return rounded(v.Dim, v.Error, 2, u)
}

// indistinguishableWords name what cannot be told apart, and what would tell it.
func (r *Result) indistinguishableWords(u si.System) []string {
	var words []string
	for _, b := range r.Indistinguishable {
		text := fmt.Sprintf("This log cannot tell %s apart: only their %s shows.", strings.Join(b.Unknowns, " and "), b.Shows)
		if b.first != nil {
			a, c := b.first, b.second
			held := *a
			held.Error = a.Estimate * b.Error / b.Value
			text += fmt.Sprintf(" With %s at %s, %s would be %s, standard error %s.", c.name(), fitted(c.Dim, c.Estimate, 0, u),
				a.name(), held.value(a.Estimate, u), errorText(&held, u))
		}
		text += " Hold one of them at what was measured and leave it out of --find"
		if r.fit.mostForce() < pressedFrom && r.fit.logs[0].hasVacuum {
			text += ", or log a few presses with the pedal force beside the vacuum: each lets a known amount of air in"
		}
		words = append(words, text+".")
	}
	return words
}

// onlyJust says that the errors of two unknowns that are told apart go together.
func (r *Result) onlyJust(i, j int) bool {
	const together = 0.95
	return math.Abs(r.Correlation.At(i, j)) >= together && !r.Unknowns[i].Indistinguishable && !r.Unknowns[j].Indistinguishable
}

// closeWords name pairs that are told apart, but only just.
func (r *Result) closeWords() []string {
	var words []string
	for i := range r.Unknowns {
		for j := range i {
			if r.onlyJust(i, j) {
				words = append(words, fmt.Sprintf("%s and %s are told apart, but only just: their errors go together (correlation %.3f), so that an error in one is an error in the other.",
					r.Unknowns[j].name(), r.Unknowns[i].name(), r.Correlation.At(i, j)))
			}
		}
	}
	return words
}

func (f *Fit) mostForce() float64 {
	most := 0.0
	for _, d := range f.logs {
		most = max(most, d.mostForce)
	}
	return most
}

// gaugeWords say how well the model meets each gauge.
func (r *Result) gaugeWords(u si.System) []string {
	var words []string
	for _, g := range r.Gauges {
		show := func(v float64) string { return rounded(g.Dim, v, 2, u) }
		text := fmt.Sprintf("The model meets %q to %s (rms)", g.Gauge, show(g.RMS))
		if g.Log != "" {
			text = fmt.Sprintf("In %s the model meets %q to %s (rms)", g.Log, g.Gauge, show(g.RMS))
		}
		switch {
		case g.Patterned:
			text += fmt.Sprintf(", and what is left is no noise: it goes one way for a while (correlation from one point to the next %.2f). ", g.Lag)
			if r.Fault == nil {
				text += "The program found no cause for it among gauges, defaults and faults: the model lacks something, or the gauge shows steps. "
			}
			text += fmt.Sprintf("Take the standard errors as too small, by a factor of %.2g or more.", math.Ceil(10*g.Wider)/10)
		default:
			text += fmt.Sprintf("; single readings scatter by %s, and what is left looks like noise.", show(g.Scatter))
		}
		if g.Scatter > muchMore*g.Noise && !g.Patterned {
			text += fmt.Sprintf(" Between neighbours the readings scatter by %s only.", show(g.Noise))
		}
		words = append(words, text)
	}
	return words
}

// Tables has one row an unknown, in SI since each has a unit of its own, then the
// correlations, the gauges and the points.
func (r *Result) Tables() []answer.Table {
	t := answer.Table{Name: "unknowns in SI", Detail: true, Columns: []answer.Column{
		{Key: "unknown", Title: "unknown"}, {Key: "unit", Title: "unit"}, {Key: "start", Title: "start"},
		{Key: "estimate", Title: "estimate"}, {Key: "standard_error", Title: "standard error"},
		{Key: "low", Title: "95 % from"}, {Key: "high", Title: "to"}, {Key: "at_most", Title: "at most"}, {Key: "state", Title: "state"},
	}}
	for i := range r.Unknowns {
		v := &r.Unknowns[i]
		t.Rows = append(t.Rows, []answer.Cell{
			v.name(), strings.TrimPrefix(v.Dim.Unit(si.SI).KeySuffix, "_"), v.Start, v.Estimate, answer.Of(v.Error).Cell(),
			answer.Of(v.Low).Cell(), answer.Of(v.High).Cell(), answer.Of(v.AtMost).Cell(), v.state(),
		})
	}
	tables := []answer.Table{t}
	if len(r.Unknowns) > 1 {
		c := answer.Table{Name: "correlation of the errors", Columns: []answer.Column{{Key: "unknown", Title: "unknown"}}}
		for i := range r.Unknowns {
			c.Columns = append(c.Columns, answer.Column{Key: answer.Key(r.Unknowns[i].name()), Title: r.Unknowns[i].name(), Dim: si.DimRatio})
			row := []answer.Cell{r.Unknowns[i].name()}
			for j := range r.Unknowns {
				row = append(row, answer.Of(r.Correlation.At(i, j)).Cell())
			}
			c.Rows = append(c.Rows, row)
		}
		tables = append(tables, c)
	}
	if len(r.Outliers) > 0 {
		tables = append(tables, r.outlierTable())
	}
	for log := range r.fit.logs {
		tables = append(tables, r.pointsTable(log))
	}
	return tables
}

// state says in a word what the log says of an unknown.
func (v *Fitted) state() string {
	switch {
	case v.AtLimit:
		return "at a limit"
	case v.Silent:
		return "not shown"
	case v.Indistinguishable:
		return "not told apart"
	}
	return "found"
}

// pointsTable has a log beside the model.
func (r *Result) pointsTable(log int) answer.Table {
	t := answer.Table{Name: strings.TrimSpace("log and model " + r.fit.nameOf(log)), Detail: true, Columns: []answer.Column{
		{Key: "time", Title: "time", Dim: si.DimTime}, {Key: "rows", Title: "rows"},
	}}
	d := r.fit.logs[log]
	for _, g := range d.gauges {
		k := strings.ReplaceAll(string(g.kind), " ", "_")
		t.Columns = append(t.Columns, answer.Column{Key: k, Title: string(g.kind), Dim: g.dim},
			answer.Column{Key: k + "_model", Title: "model", Dim: g.dim})
	}
	misses := r.missesOf(log)
	for i := range d.log.Points {
		p := &d.log.Points[i]
		row := []answer.Cell{p.Time, p.Rows}
		for k, g := range d.gauges {
			row = append(row, p.Mean(g.column), p.Mean(g.column)+misses[k][i])
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// missesOf are those of one log, by gauge.
func (r *Result) missesOf(log int) [][]float64 {
	out := make([][]float64, len(r.fit.logs[log].gauges))
	for i, m := range r.misses {
		if c := r.fit.channels[r.fit.data[i].channel]; c.log == log {
			out[c.gauge] = append(out[c.gauge], m)
		}
	}
	return out
}

// Figures draw each log against the model, the pedal below, and what is left.
func (r *Result) Figures() []answer.Figure {
	var out []answer.Figure
	for log := range r.fit.logs {
		out = append(out, r.figure(log))
	}
	return out
}

func (r *Result) figure(log int) answer.Figure {
	d, track, misses := r.fit.logs[log], r.played.tracks[log], r.missesOf(log)
	axis := answer.Axis{Label: "Time", Dim: si.DimTime, From: float64(d.log.From()), To: float64(d.log.Until())}
	var panels []answer.Panel
	byDim := map[si.Dimension]int{}
	roles := []answer.Role{answer.Main, answer.Second, answer.Third, answer.Reference}
	every := max(1, len(d.log.Points)/mostDots)
	step := math.Max(1e-3, float64(track.Until())/modelPoints)
	var left []answer.Panel
	for k, g := range d.gauges {
		at, ok := byDim[g.dim]
		if !ok {
			at = len(panels)
			byDim[g.dim] = at
			label, rest := "Vacuum", "Model less log"
			if g.dim == si.DimPressure {
				label, rest = "Line pressure", "Model less log (line)"
			}
			panels = append(panels, answer.Panel{X: axis, Y: answer.Axis{Label: label, Dim: g.dim}})
			left = append(left, answer.Panel{X: axis, Y: answer.Axis{Label: rest, Dim: g.dim}, Levels: []answer.Level{{Value: 0}}})
		}
		p := &panels[at]
		logged := answer.Curve{Label: "log: " + d.log.Columns[g.column].Header, Role: answer.Shadow, Dots: true}
		role := roles[len(p.Curves)/2%len(roles)]
		rest := answer.Curve{Label: string(g.kind), Role: answer.Shadow}
		for i := 0; i < len(d.log.Points); i += every {
			point := &d.log.Points[i]
			logged.X, logged.Y = append(logged.X, point.Time), append(logged.Y, point.Mean(g.column))
			rest.X, rest.Y = append(rest.X, point.Time), append(rest.Y, misses[k][i])
		}
		simulated := answer.Curve{Label: "model: " + string(g.kind), Role: role}
		shows := g.shown(track, r.played.habits[log][g.dim], once(track))
		for at := 0.0; at <= float64(track.Until()); at += step {
			simulated.X = append(simulated.X, at+float64(d.log.From()))
			simulated.Y = append(simulated.Y, shows(at))
		}
		p.Curves = append(p.Curves, logged, simulated)
		left[at].Curves = append(left[at].Curves, rest)
	}
	if d.mostForce > 0 {
		c := answer.Curve{Role: answer.Main}
		for _, k := range d.course {
			c.X, c.Y = append(c.X, k.at+float64(d.log.From())), append(c.Y, k.force)
		}
		panels = append(panels, answer.Panel{X: axis, Y: answer.Axis{Label: "Pedal force", Dim: si.DimForce}, Curves: []answer.Curve{c}})
	}
	for i := range left {
		if len(left[i].Curves) == 1 {
			left[i].Curves[0].Label = ""
		}
	}
	panels = append(panels, left...)
	name, title := "fit", "Log and model"
	if of := r.fit.nameOf(log); of != "" {
		name, title = fmt.Sprintf("fit-%d", log+1), "Log "+of+" and model"
	}
	return answer.Figure{Name: name, Title: answer.Titled(title, r.title), Panels: panels, SharedX: true,
		Note: "Model fitted to the log. " + answer.PlanningNote}
}

// What a picture holds of a log and of a run.
const (
	mostDots    = 300
	modelPoints = 1200
)

var _ answer.Answer = (*Result)(nil)
