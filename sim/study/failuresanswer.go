package study

import (
	"fmt"
	"strings"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Words say what is left in each case, and what tells a soft pedal from a hard one.
func (r *FailuresResult) Words(u si.System) []string {
	words := tidy(r.lead(u), r.lockWords(u))
	for i := range r.Cases {
		words = append(words, r.Cases[i].words(r, u))
	}
	words = append(words, r.requirementWords(u)...)
	if r.needsOtherAssist() {
		words = append(words, "Where the vacuum cannot be relied on and the foot alone is not enough, a hydraulic assist is the adviser's usual answer (common practice, no source); it is outside this model.")
	}
	return append(words, r.feelWords(u)...)
}

// worst is the failure of the scenario's own car that leaves least.
func (r *FailuresResult) worst() (worst *FailureCase) {
	for i := range r.Cases {
		c := &r.Cases[i]
		if c.failure != nothingFailed && c.failure != alreadyLost && !c.otherCylinder && (worst == nil || c.Deceleration.Value() < worst.Deceleration.Value()) {
			worst = c
		}
	}
	return worst
}

// lead is the answer in one paragraph: the worst that one failure leaves.
func (r *FailuresResult) lead(u si.System) string {
	worst := r.worst()
	if !worst.Distance.Exists() {
		return fmt.Sprintf("The worst that one failure does here is the end of all braking: %s. The hand brake is what is left.", worst.describe(r))
	}
	return fmt.Sprintf("The worst that one failure leaves here, with up to %s on the pedal, is %s: %s, and %s to stop from %s.",
		pedal(r.PedalLimit, u), slowing(worst.Deceleration.Value(), u), worst.describe(r), distance(worst.Distance, u), speed(r.Speed, u))
}

// lockWords say what happens beyond the best stop of the sound car.
func (r *FailuresResult) lockWords(u si.System) string {
	for _, c := range r.Cases {
		if c.failure != nothingFailed || c.Best.Axle == verdict.NoAxle {
			continue
		}
		sliding := c.Sliding.Value()
		text := fmt.Sprintf("With all wheels locked the car slides at %s (estimate), %s from %s, and cannot be steered.", slowing(sliding, u),
			distance(verdict.StoppingDistance(r.Speed, sliding), u), speed(r.Speed, u))
		if c.Best.Axle == verdict.RearAxle {
			text = "Pressed harder still, the rear wheels lock first. " + verdict.DangerousOrder + " " + text
		}
		return text
	}
	return ""
}

func distance(d answer.Optional[si.Length], u si.System) string {
	return si.Format(si.DimLength, float64(d.Value()), u)
}
func speed(v si.Speed, u si.System) string { return si.Format(si.DimSpeed, float64(v), u) }
func travel(d answer.Optional[si.Length], u si.System) string {
	return si.Format(si.DimLength, float64(d.Value()), u)
}

// needsOtherAssist says that the car misses what is asked of it without vacuum.
func (r *FailuresResult) needsOtherAssist() bool {
	for _, c := range r.Cases {
		for _, m := range c.Meetings {
			if !m.Passes && (c.failure == noVacuum || c.failure == stopsUsed) {
				return true
			}
		}
	}
	return false
}

// describe names a case; the master cylinder matters where a circuit is lost.
func (c *FailureCase) describe(r *FailuresResult) string {
	switch c.failure {
	case frontLost, rearLost:
		which := fmt.Sprintf("this %s master cylinder", c.Circuits)
		if c.otherCylinder {
			which = fmt.Sprintf("a %s one in its place", c.Circuits)
		}
		return fmt.Sprintf("%s, with %s", c.failure, which)
	case stopsUsed:
		least := ""
		if r.Capped {
			least = "at least "
		}
		return fmt.Sprintf("%s, after %s%s", r.sourceDead(), least, counted(int(r.Stops.Value()), "assisted stop"))
	case engineDead:
		return r.sourceDead() + ", first stop"
	}
	return string(c.failure)
}

func (r *FailuresResult) sourceDead() string {
	if r.config.Source.Kind == sim.SourceBench {
		return "vacuum shut off"
	}
	return "engine dead"
}

func counted(n int, what string) string {
	if n == 1 {
		return "one " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func (c *FailureCase) words(r *FailuresResult, u si.System) string {
	name := c.describe(r)
	text := strings.ToUpper(name[:1]) + name[1:] + ": "
	if !c.Distance.Exists() {
		text += fmt.Sprintf("%s on the pedal stops nothing", pedal(r.PedalLimit, u))
	} else {
		text += fmt.Sprintf("%s on the pedal gives %s, %s from %s, with the pedal %s down",
			pedal(c.Best.Pedal.Value(), u), slowing(c.Deceleration.Value(), u), distance(c.Distance, u), speed(r.Speed, u), travel(c.PedalTravel, u))
		if c.Best.Axle != verdict.NoAxle {
			text += fmt.Sprintf("; that is the best without locking a wheel: pressed harder, %s", c.Best.Axle.Lock())
		}
	}
	switch {
	case c.Bottoms == verdict.BothAxles:
		text += fmt.Sprintf("; the piston runs to the end of the cylinder, with the pedal %s down", travel(c.BottomsAt, u))
	case c.Bottoms == verdict.FrontAxle && c.failure == frontLost, c.Bottoms == verdict.RearAxle && c.failure == rearLost:
		text += fmt.Sprintf("; the lost half runs to its stop first, with the pedal %s down, and only then does the other work", travel(c.BottomsAt, u))
	case c.Bottoms != verdict.NoAxle:
		text += fmt.Sprintf("; the %s half runs to its stop, with the pedal %s down", c.Bottoms, travel(c.BottomsAt, u))
	}
	for _, m := range c.Meetings {
		if !m.Distance.Exists() || c.failure == nothingFailed && m.Passes {
			continue // a deceleration asks for the same here
		}
		asked := fmt.Sprintf("; the %s of %s", distance(m.Distance, u), m.Name)
		switch {
		case !m.Needed.Exists():
			text += asked + " are out of reach"
		case m.Passes:
			text += fmt.Sprintf("%s take %s, %s", asked, pedal(m.Needed.Value(), u), verdict.Effort(m.Needed.Value()))
		default:
			text += fmt.Sprintf("%s would take %s, %s", asked, pedal(m.Needed.Value(), u), verdict.Effort(m.Needed.Value()))
		}
	}
	return text + "."
}

// requirementWords say which requirements the scenario's own car misses.
func (r *FailuresResult) requirementWords(u si.System) []string {
	var missed []string
	met := 0
	for i := range r.Cases {
		c := &r.Cases[i]
		if c.otherCylinder {
			continue
		}
		var names []string
		for _, m := range c.Meetings {
			if m.Passes {
				met++
			} else {
				names = append(names, m.Name)
			}
		}
		if len(names) > 0 {
			missed = append(missed, fmt.Sprintf("%s (%s)", c.Name, strings.Join(names, ", ")))
		}
	}
	text := fmt.Sprintf("Held against what FMVSS 135 and UN R13-H ask of a new car at %s or less, from %s, with no wheel locked (figures from memory or a secondary copy, a steady deceleration after %.2f s of lag): %d met",
		pedal(testPedal, u), speed(stopFrom, u), float64(verdict.StopLag), met)
	if len(missed) > 0 {
		text += "; not met with: " + strings.Join(missed, "; ")
	}
	return []string{text + ". FMVSS 135 binds only cars built since September 2000 (published text): for an older one these are yardsticks, not duties. Only a test on the road decides."}
}

func (r *FailuresResult) feelWords(u si.System) []string {
	sound := &r.Feel[0]
	if !sound.Travel.Exists() {
		return []string{fmt.Sprintf("The sound pedal itself does not reach %s in the line.", pressure(firmLine, u))}
	}
	words := []string{fmt.Sprintf("A soft pedal goes farther for the same force: air in the fluid, or hoses that stretch. A hard one goes no farther and needs more force: the help is missing. Measured at %s in the line, the sound pedal is %s down at %s.",
		pressure(firmLine, u), travel(sound.Travel, u), pedal(sound.Force.Value(), u))}
	var parts []string
	for _, f := range r.Feel[1:] {
		if !f.Travel.Exists() {
			parts = append(parts, f.Name+": never gets there")
			continue
		}
		parts = append(parts, fmt.Sprintf("%s: %s down at %s, %s", f.Name, travel(f.Travel, u), pedal(f.Force.Value(), u), f.Kind))
	}
	return append(words, strings.ToUpper(parts[0][:1])+strings.Join(parts, "; ")[1:]+".")
}

// Tables are the cases, what each requirement makes of them, and the feel.
func (r *FailuresResult) Tables() []answer.Table {
	cases := answer.Table{Name: "the best stop without locking a wheel", Columns: []answer.Column{
		{Key: "case", Title: "case"},
		{Key: "master", Title: "master"},
		{Key: "pedal", Title: "pedal", Dim: si.DimForce},
		{Key: "deceleration", Title: "slows at", Dim: si.DimAcceleration},
		{Key: "stopping_distance", Title: "stops in", Dim: si.DimLength},
		{Key: "locks_first", Title: "then locks"},
		{Key: "pedal_travel", Title: "pedal travel", Dim: si.DimLength},
		{Key: "line_front", Title: "front line", Dim: si.DimPressure},
		{Key: "line_rear", Title: "rear line", Dim: si.DimPressure},
		{Key: "vacuum_before", Title: "vacuum before", Dim: si.DimVacuum},
		{Key: "bottoms", Title: "half at its stop"},
		{Key: "bottoms_at_pedal_travel", Title: "at travel", Dim: si.DimLength},
	}}
	held := answer.Table{Name: "held against the standards", Columns: []answer.Column{
		{Key: "case", Title: "case"},
		{Key: "master", Title: "master"},
		{Key: "requirement", Title: "requirement"},
		{Key: "about", Title: "about"},
		{Key: "distance", Title: "within", Dim: si.DimLength},
		{Key: "deceleration", Title: "or at least", Dim: si.DimAcceleration},
		{Key: "needed_pedal", Title: "needed pedal", Dim: si.DimForce},
		{Key: "passes", Title: "passes"},
		{Key: "trust", Title: "trust"},
	}}
	for _, c := range r.Cases {
		cases.Rows = append(cases.Rows, []answer.Cell{
			c.Name, string(c.Circuits), c.Best.Pedal.Cell(), c.Deceleration.Cell(), c.Distance.Cell(), axleCell(c.Best.Axle), c.PedalTravel.Cell(), c.LineFront.Cell(), c.LineRear.Cell(),
			c.Vacuum.Cell(), axleCell(c.Bottoms), c.BottomsAt.Cell(),
		})
		for _, m := range c.Meetings {
			held.Rows = append(held.Rows, []answer.Cell{
				c.Name, string(c.Circuits), m.Name, m.About, m.Distance.Cell(), m.Deceleration.Cell(), m.Needed.Cell(), m.Passes, m.Trust,
			})
		}
	}
	return []answer.Table{cases, held, r.feelTable()}
}

// axleCell names an axle in a table, or is empty.
func axleCell(a verdict.Axle) answer.Cell {
	if a == verdict.NoAxle {
		return nil
	}
	return string(a)
}

func (r *FailuresResult) feelTable() answer.Table {
	t := answer.Table{Name: "feel", Columns: []answer.Column{
		{Key: "case", Title: "case"},
		{Key: "pedal_travel_at_bite", Title: "travel to the bite", Dim: si.DimLength},
		{Key: "pedal_travel", Title: "at a firm press", Dim: si.DimLength},
		{Key: "more_travel", Title: "than sound", Dim: si.DimLength},
		{Key: "travel_per_mpa", Title: "for each MPa", Dim: si.DimLength},
		{Key: "pedal", Title: "pedal", Dim: si.DimForce},
		{Key: "feel", Title: "feels"},
	}}
	for _, f := range r.Feel {
		t.Rows = append(t.Rows, []answer.Cell{
			f.Name, f.Bite.Cell(), f.Travel.Cell(), f.More.Cell(), f.PerMPa.Cell(), f.Force.Cell(), f.Kind,
		})
	}
	return t
}

// Figures is the deceleration against the pedal force, with what is asked for.
func (r *FailuresResult) Figures() []answer.Figure {
	p := answer.Panel{
		X: answer.Axis{Label: "Pedal force", Dim: si.DimForce, From: 0, To: 1.5 * float64(r.PedalLimit)},
		Y: answer.Axis{Label: "Deceleration", Dim: si.DimAcceleration},
		Levels: []answer.Level{
			{Label: "pedal limit", Value: float64(r.PedalLimit), Vertical: true},
			{Label: "service braking", Value: float64(verdict.SteadyDeceleration(0.0060))},
			{Label: "after a failure", Value: float64(verdict.SteadyDeceleration(0.0158))},
		},
	}
	role := map[failure]answer.Role{nothingFailed: answer.Main, alreadyLost: answer.Shadow, noVacuum: answer.Second, stopsUsed: answer.Second, frontLost: answer.Third, rearLost: answer.Third}
	for i := range r.Cases {
		c := &r.Cases[i]
		if c.otherCylinder || c.failure == engineDead {
			continue
		}
		shown := answer.Thin(c.curve, failureSteps/5)
		curve := answer.Curve{Label: c.describe(r), Role: role[c.failure], X: series(shown, pedalOf), Y: series(shown, decelerationOf)}
		for n, x := range curve.X {
			if x > 1.5*float64(r.PedalLimit) {
				curve.X, curve.Y = curve.X[:n], curve.Y[:n]
				break
			}
		}
		p.Curves = append(p.Curves, curve)
	}
	return []answer.Figure{{Name: "failures", Title: answer.Titled("What is left when something fails", r.title), Panels: []answer.Panel{p},
		Note: "Simulated, pressed at 50 N/s. The levels are those of UN R13-H. " + planningNote}}
}

// Document is the result itself.
func (r *FailuresResult) Document() any { return r }

var _ answer.Answer = (*FailuresResult)(nil)
