package study

import (
	"fmt"
	"slices"

	"kneepoint/internal/verdict"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Words say how much help there is and where it ends.
func (r *CurveResult) Words(u si.System) []string {
	if r.none {
		words := []string{LostWords(&r.config), r.Curves[0].Verdict(u), r.turningWords(u)}
		if r.Manual.PedalRatio != r.config.Pedal.Ratio || r.Manual.Bore != r.config.Master.Bore {
			words = append(words, r.Manual.words(&r.Curves[0], u))
		}
		return tidy(words...)
	}
	first := &r.Curves[0]
	words := []string{first.Verdict(u)}
	if r.estimated {
		last := &r.Curves[len(r.Curves)-1]
		words = []string{estimatedWords(first, last, u), first.Verdict(u), last.Verdict(u)}
	}
	words = append(words, r.note.AltitudeWords(u), r.easyVacuumWords(u), r.turningWords(u))
	for i := range r.Curves {
		words = append(words, r.Curves[i].kneeWords(u))
	}
	words = append(append([]string{LostWords(&r.config)}, r.pumpWords(u)...), append(words, r.Manual.words(first, u), ruleOfThumb(first, u))...)
	words = append(words, r.note.LowVacuumWords(first.Vacuum.Value(), u))
	return tidy(words...)
}

// tidy leaves out what is empty.
func tidy(words ...string) []string {
	return slices.DeleteFunc(words, func(w string) bool { return w == "" })
}

// estimatedWords say that the vacuum is no measurement.
func estimatedWords(low, high *ForceCurve, u si.System) string {
	return fmt.Sprintf("The idle vacuum is estimated %s; measure it. It was worked out from the cam, out of gear with nothing to drive, and what follows is for the low end of that, for the middle and for the high end.",
		si.FormatSpan(si.DimVacuum, float64(low.Vacuum.Value()), float64(high.Vacuum.Value()), u))
}

// hardest says what a hard stop of this car is.
func (h HardStop) hardest(u si.System) string {
	return fmt.Sprintf("A hard stop of this car on its road is %s, where %s, at %s in the line",
		slowing(h.Deceleration.Value(), u), h.Axle.Lock(), pressure(h.Line.Value(), u))
}

// tooSmall says that no pedal locks a wheel.
const tooSmall = "These brakes lock no wheel at any line pressure that could be: they are too small for the road, whatever the booster."

// Verdict says whether the vacuum is enough for a hard stop of this car, or what one
// takes without a booster.
func (f *ForceCurve) Verdict(u si.System) string {
	if !f.Vacuum.Exists() {
		return f.unboosted(u)
	}
	h := f.HardStop
	at := fmt.Sprintf(". At %s that ", f.vacuumText(u))
	switch h.missing {
	case byBrakes:
		return tooSmall
	case byStroke:
		return h.hardest(u) + at + strokeEnds
	case byForce:
		return h.hardest(u) + at + fmt.Sprintf("is out of reach even at %s: this vacuum is not enough for this booster.", pedal(verdict.HardestPedal, u))
	}
	force := h.Pedal.Value()
	return h.hardest(u) + at + fmt.Sprintf("takes %s at the pedal, so this vacuum is %s (what is easy and what heavy: %s).%s", pedal(force, u), verdict.Enough(force), verdict.EffortSource, h.rearFirst())
}

const strokeEnds = "is out of reach: the master cylinder's piston comes to the end of its stroke first, so look at its bore, and at what the circuits take up."

// rearFirst warns of the dangerous order.
func (h HardStop) rearFirst() string {
	if h.Axle != verdict.RearAxle {
		return ""
	}
	return " " + verdict.DangerousOrder
}

// ruleOfThumb sets what the trade says beside what this car needs.
func ruleOfThumb(f *ForceCurve, u si.System) string {
	if !f.HardStop.Line.Exists() {
		return ""
	}
	return fmt.Sprintf("As a rule of thumb a hard stop with discs in front takes %s to %s in the line (common practice, no source); this car takes %s.",
		pressure(verdict.RuleOfThumbFrom, u), pressure(verdict.RuleOfThumbTo, u), pressure(f.HardStop.Line.Value(), u))
}

func (f *ForceCurve) kneeWords(u si.System) string {
	at := f.vacuumText(u)
	switch {
	case f.noHelp:
		return fmt.Sprintf("At %s there is no help to speak of: the foot moves everything alone, and the booster's own springs on top.", at)
	case !f.Ratio.Exists():
		return fmt.Sprintf("At %s there is no power line and so no knee: the help ends as it begins. The booster adds a fixed push from %s at the pedal on, and there is no stretch where it multiplies.",
			at, pedal(f.CutIn.Pedal.Value(), u))
	}
	return fmt.Sprintf("At %s the booster multiplies what the foot adds by %.1f, up to %s at the pedal and %s in the line. That is the knee: all the help there is has been given, and what is pressed beyond it is the driver's own.",
		at, float64(f.Ratio.Value()), pedal(f.Knee.Pedal.Value(), u), pressure(f.Knee.Line.Value(), u))
}

func (f *ForceCurve) unboosted(u si.System) string {
	h := f.HardStop
	switch h.missing {
	case byBrakes:
		return "There is no booster. " + tooSmall
	case byStroke:
		return "There is no booster. " + h.hardest(u) + "; that " + strokeEnds
	case byForce:
		return "There is no booster. " + h.hardest(u) + fmt.Sprintf("; that is out of reach even at %s.", pedal(verdict.HardestPedal, u))
	}
	return "There is no booster. " + h.hardest(u) + fmt.Sprintf("; that takes %s at the pedal: %s (%s).%s",
		pedal(h.Pedal.Value(), u), h.called(), verdict.EffortSource, h.rearFirst())
}

// words set the manual pedal beside the booster, for the same hard stop.
func (m *ManualCurve) words(f *ForceCurve, u si.System) string {
	if f.HardStop.missing == byBrakes {
		return ""
	}
	parts := fmt.Sprintf("a manual pedal of %.1f:1 on a %s bore", float64(m.PedalRatio), bore(m.Bore, u))
	switch m.HardStop.missing {
	case noShortfall:
		return fmt.Sprintf("Beside it, %s takes %s for that hard stop: %s.", parts, pedal(m.HardStop.Pedal.Value(), u), m.HardStop.called())
	case byStroke:
		return fmt.Sprintf("Beside it, %s does not make that stop: its piston comes to the end of its stroke.", parts)
	}
	return fmt.Sprintf("Beside it, %s does not make that stop even at %s.", parts, pedal(verdict.HardestPedal, u))
}

func (f *ForceCurve) vacuumText(u si.System) string { return vacuum(f.Vacuum.Value(), u) }

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
		{Key: "hard_stop_pedal", Title: "hard stop, pedal", Dim: si.DimForce},
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
			f.Knee.Output.Cell(), f.Knee.Line.Cell(), f.HardStopPedal.Cell(), f.RunOutSlope.Cell(), f.Hysteresis.Cell(),
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
			label = fmt.Sprintf("at %s", si.Format(si.DimVacuum, float64(f.Vacuum.Value()), si.US))
			label += fmt.Sprintf(" (%s)", si.Format(si.DimVacuum, float64(f.Vacuum.Value()), si.SI))
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
		if f.Knee.Pedal.Exists() {
			p.Marks = append(p.Marks, answer.Mark{Label: "knee", X: float64(f.Knee.Pedal.Value()), Y: float64(f.Knee.Line.Value())})
		}
	}
	if !r.none {
		press, _ := split(r.Manual.Points)
		p.Curves = append(p.Curves, answer.Curve{
			Label: fmt.Sprintf("manual %.1f:1", float64(r.Manual.PedalRatio)),
			X:     pedals(press), Y: pressures(press), Role: answer.Reference,
		})
	}
	return []answer.Figure{{Name: "curve", Title: answer.Titled("Force curve", r.title), Panels: []answer.Panel{p},
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

// Document is the curve with its manual pedal, or a list of curves.
func (r *CurveResult) Document() any {
	if len(r.Curves) == 1 {
		return struct {
			ForceCurve
			EasyVacuum answer.Optional[si.Vacuum] `json:"easy_hard_stop_vacuum_pa"`
			Manual     ManualCurve                `json:"manual"`
		}{r.Curves[0], r.EasyVacuum, r.Manual}
	}
	return struct {
		Curves     []ForceCurve               `json:"curves"`
		EasyVacuum answer.Optional[si.Vacuum] `json:"easy_hard_stop_vacuum_pa"`
		Manual     ManualCurve                `json:"manual"`
	}{r.Curves, r.EasyVacuum, r.Manual}
}

var _ answer.Answer = (*CurveResult)(nil)
