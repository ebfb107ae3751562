package study

import (
	"fmt"

	"kneepoint/sim/si"
	"kneepoint/sim/study/answer"
)

// What a booster is expected to want, and the vacuum below which a hard pedal
// is common (common practice, no source).
const (
	usualVacuum    si.Vacuum = 16 * si.InchOfMercury
	hardPedalBelow si.Vacuum = 12 * si.InchOfMercury
)

// Words say how much help there is and where it ends.
func (r *CurveResult) Words(u si.System) []string {
	if r.none {
		return append(r.Curves[0].unboosted(u), r.Manual.words(u))
	}
	first := &r.Curves[0]
	words := []string{first.verdict(u), first.kneeWords(u)}
	if r.estimated {
		last := &r.Curves[len(r.Curves)-1]
		words = []string{estimatedWords(first, last, u), first.verdict(u), last.verdict(u), first.kneeWords(u)}
	}
	for i := range r.Curves[1:] {
		words = append(words, r.Curves[i+1].kneeWords(u))
	}
	words = append(words, r.Manual.words(u))
	if v := si.Vacuum(first.Vacuum); v < usualVacuum {
		note := fmt.Sprintf("Boosters are expected to want some %s to %s at idle", vacuum(usualVacuum, u), vacuum(18*si.InchOfMercury, u))
		if v < hardPedalBelow {
			note += fmt.Sprintf(", and a hard pedal is common below about %s", vacuum(hardPedalBelow, u))
		}
		words = append(words, note+" (common practice, no source).")
	}
	return words
}

// estimatedWords say that the vacuum is no measurement.
func estimatedWords(low, high *ForceCurve, u si.System) string {
	return fmt.Sprintf("The idle vacuum is estimated %s; measure it. It was worked out from the cam, out of gear with nothing to drive, and what follows is for the low end of that, for the middle and for the high end.",
		si.FormatSpan(si.DimVacuum, float64(low.Vacuum), float64(high.Vacuum), u))
}

// verdict says whether the vacuum is enough for a hard stop.
func (f *ForceCurve) verdict(u si.System) string {
	begin := fmt.Sprintf("A hard stop takes some %s in the line (common practice, no source). At %s it", pressure(HardStop, u), f.vacuumText(u))
	switch {
	case f.bottomed && !f.HardStop.Exists():
		return begin + " is out of reach: the master cylinder's piston comes to the end of its stroke first, so look at its bore and at what the circuits take up."
	case !f.HardStop.Exists():
		return begin + fmt.Sprintf(" is out of reach even at %s: this vacuum is not enough.", pedal(f.topPedal(), u))
	}
	force := si.Force(f.HardStop)
	enough := "enough, with an easy pedal"
	switch {
	case force > HeavyPedal:
		enough = "not enough: that is beyond many drivers"
	case force > EasyPedal:
		enough = "short: that is a heavy pedal"
	}
	return begin + fmt.Sprintf(" takes %s at the pedal, so this vacuum is %s.", pedal(force, u), enough)
}

func (f *ForceCurve) kneeWords(u si.System) string {
	at := f.vacuumText(u)
	switch {
	case !f.Knee.Pedal.Exists():
		return fmt.Sprintf("At %s there is no help to speak of: the foot moves everything alone, and the booster's own springs on top.", at)
	case !f.Ratio.Exists():
		return fmt.Sprintf("At %s the help ends as it begins: the booster adds a fixed push from %s at the pedal on, and there is no stretch where it multiplies.",
			at, pedal(si.Force(f.Knee.Pedal), u))
	}
	return fmt.Sprintf("At %s the booster multiplies what the foot adds by %.1f, up to %s at the pedal and %s in the line. That is the knee: all the help there is has been given, and what is pressed beyond it is the driver's own.",
		at, float64(f.Ratio), pedal(si.Force(f.Knee.Pedal), u), pressure(si.Pressure(f.Knee.Line), u))
}

func (f *ForceCurve) unboosted(u si.System) []string {
	if !f.HardStop.Exists() {
		return []string{fmt.Sprintf("There is no booster. A hard stop, some %s in the line (common practice, no source), is out of reach at %s.",
			pressure(HardStop, u), pedal(f.topPedal(), u))}
	}
	return []string{fmt.Sprintf("There is no booster. A hard stop, some %s in the line (common practice, no source), takes %s at the pedal: %s.",
		pressure(HardStop, u), pedal(si.Force(f.HardStop), u), Effort(si.Force(f.HardStop)))}
}

func (m *ManualCurve) words(u si.System) string {
	parts := fmt.Sprintf("a manual pedal of %.1f:1 on a %s bore", float64(m.PedalRatio), bore(m.Bore, u))
	if !m.HardStop.Exists() {
		return fmt.Sprintf("Beside it, %s does not reach that line pressure at %s.", parts, pedal(m.Points[shownSteps].Pedal, u))
	}
	force := si.Force(m.HardStop)
	return fmt.Sprintf("Beside it, %s takes %s for that hard stop: %s.", parts, pedal(force, u), Effort(force))
}

func (f *ForceCurve) vacuumText(u si.System) string { return vacuum(si.Vacuum(f.Vacuum), u) }
func (f *ForceCurve) topPedal() si.Force            { return f.Points[shownSteps].Pedal }

// Tables are the points, then the figures read off them beside the closed form.
func (r *CurveResult) Tables() []answer.Table {
	pts := answer.Table{Name: "points", Detail: true, Columns: []answer.Column{
		{Key: "vacuum", Title: "source", Dim: si.DimVacuum},
		{Key: "pedal", Title: "pedal force", Dim: si.DimForce},
		{Key: "input", Title: "input force", Dim: si.DimForce},
		{Key: "output", Title: "output force", Dim: si.DimForce},
		{Key: "line", Title: "line pressure", Dim: si.DimPressure},
		{Key: "releasing", Title: "releasing"},
		{Key: "manual", Title: "manual pedal"},
	}}
	figures := answer.Table{Name: "read off the curve", Columns: []answer.Column{
		{Key: "vacuum", Title: "source", Dim: si.DimVacuum},
		{Key: "cut_in_pedal", Title: "cut-in, pedal", Dim: si.DimForce},
		{Key: "jump_in_output", Title: "jump-in, output", Dim: si.DimForce},
		{Key: "ratio", Title: "boost ratio", Dim: si.DimRatio},
		{Key: "knee_pedal", Title: "knee, pedal", Dim: si.DimForce},
		{Key: "knee_input", Title: "knee, input", Dim: si.DimForce},
		{Key: "knee_output", Title: "knee, output", Dim: si.DimForce},
		{Key: "knee_line", Title: "knee, line", Dim: si.DimPressure},
		{Key: "run_out_slope", Title: "run-out slope", Dim: si.DimRatio},
		{Key: "hysteresis", Title: "hysteresis", Dim: si.DimForce},
	}}
	closed := answer.Table{Name: "closed form (equilibrium without dynamics) beside it", Columns: []answer.Column{
		{Key: "vacuum", Title: "source", Dim: si.DimVacuum},
		{Key: "ratio", Title: "boost ratio", Dim: si.DimRatio},
		{Key: "jump_in_output", Title: "jump-in, output", Dim: si.DimForce},
		{Key: "knee_input", Title: "knee, input", Dim: si.DimForce},
		{Key: "knee_output", Title: "knee, output", Dim: si.DimForce},
	}}
	for _, f := range r.Curves {
		v := f.Vacuum.Cell()
		for _, p := range f.Points {
			pts.Rows = append(pts.Rows, pointRow(v, p, false))
		}
		figures.Rows = append(figures.Rows, []answer.Cell{
			v, f.CutIn.Pedal.Cell(), f.JumpIn.Output.Cell(), f.Ratio.Cell(), f.Knee.Pedal.Cell(), f.Knee.Input.Cell(),
			f.Knee.Output.Cell(), f.Knee.Line.Cell(), f.RunOutSlope.Cell(), f.Hysteresis.Cell(),
		})
		if f.ClosedForm != nil && f.Ratio.Exists() {
			closed.Rows = append(closed.Rows, []answer.Cell{
				v, float64(f.ClosedForm.Ratio), float64(f.ClosedForm.JumpIn), float64(f.ClosedForm.KneeInput), float64(f.ClosedForm.KneeOutput),
			})
		}
	}
	for _, p := range r.Manual.Points {
		pts.Rows = append(pts.Rows, pointRow(nil, p, true))
	}
	tables := []answer.Table{pts, figures}
	if len(closed.Rows) > 0 {
		tables = append(tables, closed)
	}
	return tables
}

func pointRow(v answer.Cell, p CurvePoint, manual bool) []answer.Cell {
	return []answer.Cell{v, float64(p.Pedal), float64(p.Input), float64(p.Output), float64(p.Line), p.Releasing, manual}
}

// Figures is the line pressure over the pedal force, with each knee marked.
func (r *CurveResult) Figures() []answer.Figure {
	p := answer.Panel{
		X: answer.Axis{Label: "Pedal force", Dim: si.DimForce},
		Y: answer.Axis{Label: "Line pressure", Dim: si.DimPressure},
	}
	roles := []answer.Role{answer.Main, answer.Second, answer.Third}
	for i, f := range r.Curves {
		label := "no booster"
		if f.Vacuum.Exists() {
			label = fmt.Sprintf("at %s", si.Format(si.DimVacuum, float64(f.Vacuum), si.US))
			label += fmt.Sprintf(" (%s)", si.Format(si.DimVacuum, float64(f.Vacuum), si.SI))
		}
		role := answer.Shadow
		if i < len(roles) {
			role = roles[i]
		}
		press, back := split(f.Points)
		p.Curves = append(p.Curves, answer.Curve{Label: label, X: pedals(press), Y: pressures(press), Role: role})
		if i == 0 && f.Vacuum.Exists() {
			p.Curves = append(p.Curves, answer.Curve{Label: "release", X: pedals(back), Y: pressures(back), Role: answer.Shadow})
		}
		if f.Knee.Pedal.Exists() && f.Ratio.Exists() {
			p.Marks = append(p.Marks, answer.Mark{Label: "knee", X: float64(f.Knee.Pedal), Y: float64(f.Knee.Line)})
		}
	}
	if !r.none {
		press, _ := split(r.Manual.Points)
		p.Curves = append(p.Curves, answer.Curve{
			Label: fmt.Sprintf("manual %.1f:1", float64(r.Manual.PedalRatio)),
			X:     pedals(press), Y: pressures(press), Role: answer.Reference,
		})
	}
	return []answer.Figure{{Name: "curve", Title: titled("Force curve", r.title), Panels: []answer.Panel{p},
		Note: "Slow press and release, simulated. " + planningNote}}
}

func split(points []CurvePoint) (press, back []CurvePoint) {
	return points[:len(points)/2], points[len(points)/2:]
}

func pedals(points []CurvePoint) []float64 {
	out := make([]float64, len(points))
	for i, p := range points {
		out[i] = float64(p.Pedal)
	}
	return out
}

func pressures(points []CurvePoint) []float64 {
	out := make([]float64, len(points))
	for i, p := range points {
		out[i] = max(0, float64(p.Line))
	}
	return out
}

func titled(what, title string) string {
	if title == "" {
		return what
	}
	return what + ": " + title
}

// Document is the curve with its manual pedal, or a list of curves.
func (r *CurveResult) Document() any {
	if len(r.Curves) == 1 {
		return struct {
			ForceCurve
			Manual ManualCurve `json:"manual"`
		}{r.Curves[0], r.Manual}
	}
	return struct {
		Curves []ForceCurve `json:"curves"`
		Manual ManualCurve  `json:"manual"`
	}{r.Curves, r.Manual}
}

var _ answer.Answer = (*CurveResult)(nil)
