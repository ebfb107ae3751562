package study

import (
	"fmt"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// shownAt is the deceleration at which the words tell how the load has moved.
const shownAt si.Acceleration = 0.8 * si.StandardGravity

func slowing(a si.Acceleration, u si.System) string {
	return si.Format(si.DimAcceleration, float64(a), u)
}
func percent(share si.Ratio) string { return fmt.Sprintf("%.0f %%", 100*float64(share)) }

// Words say why the front brakes are larger, which axle locks first, and whether
// a proportioning valve is needed.
func (r *BalanceResult) Words(u si.System) []string {
	words := []string{r.loadWords(u), r.lockWords(u)}
	words = append(words, r.valveWords(u)+r.valveAssumedWords())
	if r.Linings != nil {
		words = append(words, r.Linings.words(u, &r.config.Car)...)
	}
	words = append(words, r.ruleWords(u))
	return append(words, r.partWords(u)...)
}

func (r *BalanceResult) loadWords(u si.System) string {
	car := r.config.Car
	rest, _ := car.AxleLoads(0)
	front, rear := car.AxleLoads(shownAt)
	text := fmt.Sprintf("When a car slows, weight moves onto its front wheels. At rest they carry %s of it, at %s %s: that is why front brakes are larger.",
		percent(si.Ratio(rest)/si.Ratio(front+rear)), slowing(shownAt, u), percent(si.Ratio(front)/si.Ratio(front+rear)))
	points := r.Cases[0].Points
	p := points[len(points)-1]
	for i := range points {
		if points[i].Deceleration >= shownAt {
			p = points[i]
			break
		}
	}
	if p.FrontForce+p.RearForce <= 0 {
		return text
	}
	return text + fmt.Sprintf(" Here the front brakes do %s of the work at %s.", percent(si.Ratio(p.FrontForce/(p.FrontForce+p.RearForce))), slowing(p.Deceleration, u))
}

// lockWords say which axle locks first, and what that means.
func (r *BalanceResult) lockWords(u si.System) string {
	lock := r.Cases[0].FirstLock
	road := fmt.Sprintf("On a road with an adhesion of %.2g", float64(r.Adhesion))
	if lock.Axle == verdict.NoAxle {
		return road + " these brakes lock no wheel at any line pressure that could be: they are too small for that."
	}
	text := road + fmt.Sprintf(", pressed harder and harder, %s first, at %s and %s in the line", wheels(lock.Axle), slowing(lock.Deceleration.Value(), u), pressure(lock.Line.Value(), u))
	switch {
	case lock.Pedal.Exists():
		text += fmt.Sprintf(", which takes %s at the pedal.", pedal(lock.Pedal.Value(), u))
	case r.Cases[0].missing == byStroke:
		text += ". That " + strokeEnds
	default:
		text += fmt.Sprintf(", which the pedal does not reach at %s.", pedal(verdict.HardestPedal, u))
	}
	switch lock.Axle {
	case verdict.FrontAxle:
		text += " The car then goes straight on and does not steer, but it does not spin."
	case verdict.RearAxle:
		text += " " + verdict.DangerousOrder
	default:
		text += " That is the ideal, and leaves nothing in hand."
	}
	return text
}

// wheels says which wheels lock, before a comma or "first".
func wheels(a verdict.Axle) string {
	if a == verdict.BothAxles {
		return a.Lock() + ", and"
	}
	return a.Lock()
}

func (r *BalanceResult) valveWords(u si.System) string {
	v, car := r.Valve, r.config.Car
	here := hasValve(&car)
	switch {
	case !v.Needed && here:
		return "Without its proportioning valve the front wheels would lock first too, up to that adhesion: it is not needed, and takes braking from the rear wheels that they could do."
	case !v.Needed:
		return "No proportioning valve is needed: up to that adhesion the front wheels lock first without one."
	case !v.Possible:
		return fmt.Sprintf("No proportioning valve with a slope of %.2g keeps the front wheels first, wherever it splits: the rear brakes are too large for this car, or the front ones too small.", float64(v.SplitSlope))
	}
	text := fmt.Sprintf("A proportioning valve that splits at %s, with a slope of %.2g from there on, keeps the front wheels first up to that adhesion; a higher split does not.",
		pressure(v.SplitPressure.Value(), u), float64(v.SplitSlope))
	if here {
		which, does := "fitted", "too high"
		if r.valveAssumed {
			which = "assumed here"
		}
		if car.SplitPressure <= v.SplitPressure.Value() {
			does = "low enough"
		}
		text += fmt.Sprintf(" The one %s splits at %s: %s.", which, pressure(car.SplitPressure, u), does)
	}
	if from := r.without().Crossing; from.Exists() {
		text += fmt.Sprintf(" Without one the rear wheels ask for more grip than the front ones from %s on.", slowing(from.Value(), u))
	}
	return text
}

// valveAssumedWords say that nobody named the valve.
func (r *BalanceResult) valveAssumedWords() string {
	if !r.valveAssumed || !r.Valve.Needed || !r.Valve.Possible {
		return ""
	}
	return " It is assumed: cars with discs in front of duo-servo drums have one as a rule (common practice, no source; where it splits is an estimate). Look whether yours has."
}

// without is the case that has no valve.
func (r *BalanceResult) without() *BalanceCase {
	for i := range r.Cases {
		if !hasValve(&r.Cases[i].car) {
			return &r.Cases[i]
		}
	}
	return &r.Cases[0]
}

func (r *BalanceResult) ruleWords(u si.System) string {
	const rule = "The rule for cars, that from 0.15 g to 0.8 g the front axle uses more of the adhesion than the rear (directive 71/320/EEC, annex II, published text; UN R13-H from memory; without the exchange that it allows from 0.3 g to 0.45 g)"
	if r.Rule.Holds {
		return rule + ", is met."
	}
	return rule + fmt.Sprintf(", is not met from %s on.", slowing(r.Rule.BrokenFrom.Value(), u))
}

func (r *BalanceResult) partWords(u si.System) []string {
	var words []string
	car := r.config.Car
	if m := r.MoreFriction; m != nil && m.Axle != verdict.NoAxle && r.Linings == nil {
		words = append(words, fmt.Sprintf("Drums multiply, and the more so the better their linings grip: a tenth more friction gives more than a tenth more drag (the shoes' geometry is an estimate). With that, %s first, at %s.",
			wheels(m.Axle), slowing(m.Deceleration.Value(), u)))
	}
	if car.HoldOff > 0 {
		words = append(words, fmt.Sprintf("The metering valve keeps the front discs idle up to %s and lets everything through from three times that (estimate): the rear shoes reach their drums first, and on a gentle stop the rear axle works alone.", pressure(car.HoldOff, u)))
	}
	words = append(words, residualWords(verdict.FrontAxle, &car, u)...)
	words = append(words, residualWords(verdict.RearAxle, &car, u)...)
	if hasLost(&r.config) {
		words = append(words, lostCircuit)
	}
	return words
}

const lostCircuit = "A circuit is lost in this scenario: mend that before it is driven. What is said here holds for the brakes when both work."

// residualOf is what a residual valve keeps in the line of an axle, and the brake there.
func residualOf(axle verdict.Axle, car *sim.Car) (*sim.Brake, si.Pressure) {
	if axle == verdict.FrontAxle {
		return &car.FrontBrake, car.ResidualFront
	}
	return &car.RearBrake, car.ResidualRear
}

// residualWords judge the residual valve of one circuit, if there is one. That there is
// none is no fault anywhere: many drums do without.
func residualWords(axle verdict.Axle, car *sim.Car, u si.System) []string {
	brake, kept := residualOf(axle, car)
	if kept <= 0 {
		return nil
	}
	text := fmt.Sprintf("The residual valve keeps %s in the %s line: ", si.FormatLow(kept, u), axle)
	switch {
	case brake.Kind.IsDrum():
		text += "it does not brake, and saves a part of the take-up."
	case !brake.PadsDrag(kept):
		text += "right ahead of discs where the master cylinder sits below the calipers, since it keeps the fluid from running back (common practice, no source)."
	default:
		f, r := car.BrakeForces(0, 0)
		if axle == verdict.RearAxle {
			f = r
		}
		text += fmt.Sprintf("that is one for drums, and ahead of discs it is the classic mistake (common practice, no source). The pads drag with the pedal free, here with %s at the road, and heat the discs. Take the residual valve out of that port of the master cylinder, or fit a master cylinder that is made for discs on that axle.",
			si.Format(si.DimForce, float64(f), u))
	}
	return []string{text}
}

// Tables are the points of every case, then the first lock of each.
func (r *BalanceResult) Tables() []answer.Table {
	points := answer.Table{Name: "brakes against line pressure", Detail: true, Columns: []answer.Column{
		{Key: "case", Title: "case"},
		{Key: "line", Title: "line", Dim: si.DimPressure},
		{Key: "rear_line", Title: "rear line", Dim: si.DimPressure},
		{Key: "deceleration", Title: "slows at", Dim: si.DimAcceleration},
		{Key: "front_load", Title: "front load", Dim: si.DimForce},
		{Key: "rear_load", Title: "rear load", Dim: si.DimForce},
		{Key: "front_force", Title: "front brakes", Dim: si.DimForce},
		{Key: "rear_force", Title: "rear brakes", Dim: si.DimForce},
		{Key: "front_adhesion", Title: "front uses"},
		{Key: "rear_adhesion", Title: "rear uses"},
	}}
	locks := answer.Table{Name: "which axle locks first", Columns: []answer.Column{
		{Key: "case", Title: "case"},
		{Key: "split_pressure", Title: "split", Dim: si.DimPressure},
		{Key: "split_slope", Title: "slope"},
		{Key: "first", Title: "locks first"},
		{Key: "deceleration", Title: "slows at", Dim: si.DimAcceleration},
		{Key: "line", Title: "line", Dim: si.DimPressure},
		{Key: "pedal", Title: "pedal", Dim: si.DimForce},
		{Key: "rear_first_from", Title: "rear ahead from", Dim: si.DimAcceleration},
		{Key: "efficiency", Title: "of the adhesion", Dim: si.DimRatio},
	}}
	for _, c := range r.Cases {
		for _, p := range c.Points {
			points.Rows = append(points.Rows, []answer.Cell{
				c.Name, float64(p.Line), float64(p.RearLine), float64(p.Deceleration), float64(p.FrontLoad), float64(p.RearLoad),
				float64(p.FrontForce), float64(p.RearForce), float64(p.FrontAdhesion), float64(p.RearAdhesion),
			})
		}
		locks.Rows = append(locks.Rows, []answer.Cell{
			c.Name, c.SplitPressure.Cell(), float64(c.SplitSlope), axleCell(c.FirstLock.Axle), c.FirstLock.Deceleration.Cell(), c.FirstLock.Line.Cell(),
			c.FirstLock.Pedal.Cell(), c.Crossing.Cell(), c.Efficiency.Cell(),
		})
	}
	return []answer.Table{points, locks}
}

// Document is the result itself.
func (r *BalanceResult) Document() any { return r }

var _ answer.Answer = (*BalanceResult)(nil)
