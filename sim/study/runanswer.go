package study

import (
	"fmt"
	"sort"

	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// mostSaid is how many presses the words go through.
const mostSaid = 6

// Words say what each application did.
func (r *RunResult) Words(u si.System) []string {
	words := r.eventWords()
	for i := range r.done() {
		if i == mostSaid {
			words = append(words, fmt.Sprintf("… and %d more, in the table.", len(r.plan.Presses)-mostSaid))
			break
		}
		words = append(words, r.pressWords(i, u))
	}
	return words
}

func (r *RunResult) eventWords() []string {
	var words []string
	for _, e := range r.plan.Events {
		words = append(words, fmt.Sprintf("At %s: engine %s.", si.Seconds(e.At), e.Engine))
	}
	return words
}

// done counts the presses whose hold is over by the end of the run.
func (r *RunResult) done() int {
	for i, p := range r.plan.Presses {
		if heldUntil(p) > r.until() {
			return i
		}
	}
	return len(r.plan.Presses)
}

func heldUntil(p sim.Press) si.Time { return p.At + p.Press + p.Hold }

// held is the car at the end of the hold of a press.
func (r *RunResult) held(i int) sim.State { return r.near(heldUntil(r.plan.Presses[i])) }

func (r *RunResult) pressWords(i int, u si.System) string {
	p := r.plan.Presses[i]
	before, at := r.near(p.At), r.held(i)
	text := fmt.Sprintf("At %s: %s at the pedal gives %s in the line by the end of the hold, and the car slows at %s",
		si.Seconds(p.At), pedal(at.Pedal, u), pressure(at.LineFront, u), slowing(at.Deceleration, u))
	if r.config.Booster.Kind != sim.BoosterNone {
		text += fmt.Sprintf("; the booster had %s before and %s then", chamber(before.FrontVacuum, u), chamber(at.FrontVacuum, u))
	}
	return text + "."
}

func (r *RunResult) until() si.Time { return r.Samples[len(r.Samples)-1].Time }

// near returns the last sample not after a time.
func (r *RunResult) near(t si.Time) sim.State {
	const slack = 1e-9
	i := sort.Search(len(r.Samples), func(i int) bool { return r.Samples[i].Time > t+slack })
	return r.Samples[max(0, i-1)]
}

// Tables are the samples, and one row a press.
func (r *RunResult) Tables() []answer.Table {
	return []answer.Table{samplesTable(r.Samples), r.pressTable()}
}

func (r *RunResult) pressTable() answer.Table {
	t := answer.Table{Name: "presses, at the end of each hold", Columns: []answer.Column{
		{Key: "press", Title: "press"},
		{Key: "at", Title: "at", Dim: si.DimTime},
		{Key: "pedal", Title: "pedal", Dim: si.DimForce},
		{Key: "line_front", Title: "front line", Dim: si.DimPressure},
		{Key: "line_rear", Title: "rear line", Dim: si.DimPressure},
		{Key: "deceleration", Title: "slows at", Dim: si.DimAcceleration},
		{Key: "pedal_travel", Title: "pedal travel", Dim: si.DimLength},
		{Key: "vacuum_before", Title: "before", Dim: si.DimVacuum},
		{Key: "vacuum_held", Title: "held", Dim: si.DimVacuum},
	}}
	for i, p := range r.plan.Presses[:r.done()] {
		before, at := r.near(p.At), r.held(i)
		t.Rows = append(t.Rows, []answer.Cell{
			i + 1, float64(p.At), float64(at.Pedal), float64(at.LineFront), float64(at.LineRear), float64(at.Deceleration),
			float64(at.PedalTravel), answer.Of(before.FrontVacuum).Cell(), answer.Of(at.FrontVacuum).Cell(),
		})
	}
	return t
}

// Figures shows pedal, line pressure, vacuum and travel on one time axis.
func (r *RunResult) Figures() []answer.Figure {
	states := answer.Thin(r.Samples, 3000)
	times := series(states, func(s sim.State) float64 { return float64(s.Time) })
	timeAxis := answer.Axis{Label: "Time", Dim: si.DimTime}
	panel := func(label string, dim si.Dimension, curves ...answer.Curve) answer.Panel {
		return answer.Panel{X: timeAxis, Y: answer.Axis{Label: label, Dim: dim}, Curves: curves, Spans: r.spans()}
	}
	of := func(label string, role answer.Role, value func(sim.State) float64) answer.Curve {
		return answer.Curve{Label: label, X: times, Y: series(states, value), Role: role}
	}
	// The slight suction of a fast release would cost a picture of pressures a
	// stretch of axis below zero.
	pressed := func(value func(sim.State) float64) func(sim.State) float64 {
		return func(s sim.State) float64 { return max(0, value(s)) }
	}
	panels := []answer.Panel{
		panel("Pedal force", si.DimForce, of("pedal", answer.Main, pedalOf)),
		panel("Line pressure", si.DimPressure,
			of("front", answer.Main, pressed(frontOf)),
			of("rear", answer.Second, pressed(func(s sim.State) float64 { return float64(s.LineRear) }))),
	}
	if r.config.Booster.Kind != sim.BoosterNone {
		curves := []answer.Curve{
			of("front chamber", answer.Main, func(s sim.State) float64 { return float64(s.FrontVacuum) }),
			of("working chamber", answer.Second, func(s sim.State) float64 { return float64(s.WorkingVacuum) }),
			of("manifold", answer.Reference, func(s sim.State) float64 { return float64(s.ManifoldVacuum) }),
		}
		if r.config.Reservoir.Volume > 0 {
			curves = append(curves, of("reservoir", answer.Third, func(s sim.State) float64 { return float64(s.ReservoirVacuum) }))
		}
		panels = append(panels, panel("Vacuum", si.DimVacuum, curves...))
	}
	panels = append(panels, panel("Pedal travel", si.DimLength,
		of("pedal", answer.Main, pressed(func(s sim.State) float64 { return float64(s.PedalTravel) }))))
	return []answer.Figure{{Name: "run", Title: answer.Titled("Run", r.title), Panels: panels, SharedX: true,
		Note: "Simulated. " + planningNote}}
}

// spans are the stretches without the engine.
func (r *RunResult) spans() []answer.Span {
	var out []answer.Span
	for i, e := range r.plan.Events {
		if e.Engine != sim.EngineOff {
			continue
		}
		until := r.until()
		if i+1 < len(r.plan.Events) {
			until = r.plan.Events[i+1].At
		}
		out = append(out, answer.Span{Label: "engine off", From: float64(e.At), To: float64(until)})
	}
	return out
}

// Document has the samples as columns.
func (r *RunResult) Document() any { return samplesDocument(r.Samples) }

var _ answer.Answer = (*RunResult)(nil)
