package study

import (
	"fmt"
	"math"
	"strings"

	"kneepoint/internal/verdict"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Words say what to do, then why, and what the present parts would want.
func (r *ChooseResult) Words(u si.System) []string {
	if len(r.Options) == 0 {
		return []string{"Nothing was finished, so there is nothing to recommend."}
	}
	words := r.headline(u)
	if r.lock.Axle == verdict.RearAxle {
		words = append(words, r.rearWords(u))
	}
	if r.Unfinished > 0 {
		words = append(words, r.unfinishedWords())
	}
	words = append(words, r.note.Words(u)...)
	words = append(words, r.passedWords(u))
	if r.present != nil {
		if !r.present.Passes {
			words = append(words, fmt.Sprintf("The parts you have do not: %s.", r.present.reasons(u)))
		}
		words = append(words, r.presentWords(u)...)
	}
	words = append(words, r.Sure.words(u)...)
	return append(words,
		"A manual pedal has no vacuum to lose, so stops left and recharge do not count for it. Where there is no vacuum at all, hydraulic assist is the usual answer; it is outside of this model.")
}

// headline is the advice, with what it rests on that may not hold.
func (r *ChooseResult) headline(u si.System) []string {
	words := tidy(r.lostWords(), r.advice(u))
	if r.unmeasured != nil {
		words = append(words, r.unmeasured(u))
	}
	return words
}

// unmeasured says of which vacuum a choice is where nobody measured it.
func unmeasured(s *scenario.Scenario) answer.Phrase {
	low, high, ok := s.EstimatedVacuum()
	if !ok {
		return nil
	}
	return func(u si.System) string {
		return nobodyMeasured(low, high, u) + " (estimate), and this is for the middle of that. Measure it before anything is bought."
	}
}

func (r *ChooseResult) rearWords(u si.System) string {
	return fmt.Sprintf("No part of these changes which wheels lock first: on this car the rear ones do, at %s. %s See to that first. %s",
		slowing(r.lock.Deceleration.Value(), u), verdict.DangerousOrder, RearFirstRemedy(r.car, u))
}

func (r *ChooseResult) unfinishedWords() string {
	return fmt.Sprintf("Stopped before the end: %d combinations were not tried, and one of them may be better.", r.Unfinished)
}

func (r *ChooseResult) passedWords(u si.System) string {
	passed := 0
	for _, o := range r.Options {
		passed += passing(o)
	}
	return fmt.Sprintf("%d of %d combinations meet everything that was asked: %s.", passed, len(r.Options), r.asked(u))
}

// advice is what to do, in one sentence.
func (r *ChooseResult) advice(u si.System) string {
	best := &r.Options[0]
	switch {
	case r.Recommended == nil && best.Margin.Exists():
		return fmt.Sprintf("None of these does it; nearest comes %s: %s.", best.text(u), best.reasons(u))
	case r.Recommended == nil:
		return fmt.Sprintf("None of these fits: %s, %s.", best.text(u), best.why(u))
	case best.parts.effort == 0:
		return fmt.Sprintf("Keep the parts you have (%s); %s.", best.text(u), best.closest(u))
	case r.keepsBooster(best):
		return fmt.Sprintf("%s; %s.", best.parts.besides(r.present.parts, u), best.closest(u))
	}
	return fmt.Sprintf("Fit %s; %s.", best.text(u), best.closest(u))
}

// keepsBooster reports whether an option has the booster that is in the car.
func (r *ChooseResult) keepsBooster(o *ChooseOption) bool {
	return r.present != nil && !o.parts.booster.None() && o.parts.keeps.booster
}

// asked lists the criteria.
func (r *ChooseResult) asked(u si.System) string { return wished(r.criteria, u) }

// demanded is what each stop of a choice asks for.
func demanded(c scenario.Choose, u si.System) string {
	if c.LinePressure > 0 {
		return pressure(c.LinePressure, u) + " in the line"
	}
	return si.Format(si.DimAcceleration, float64(c.Deceleration), u)
}

func wished(c scenario.Choose, u si.System) string {
	return fmt.Sprintf("%s at no more than %s with the engine idling, %s at no more than %s with the engine dead, the vacuum back within %s, no more than %s of pedal travel",
		demanded(c, u), pedal(c.PedalLimit, u), counted(c.StopsLeft, "such stop"), pedal(c.DeadLimit, u), si.Seconds(c.RechargeLimit), si.Format(si.DimLength, float64(c.TravelLimit), u))
}

func (r *ChooseResult) presentWords(u si.System) []string {
	var words []string
	if r.present.ManualRatio.Exists() {
		return nil
	}
	if v := r.LeastVacuum; v.Value() == 0 {
		words = append(words, "With their pump the present parts need no vacuum from the engine.")
	} else if v.Exists() {
		words = append(words, fmt.Sprintf("The present parts would need at least %s at the source.", si.FormatUp(si.DimVacuum, float64(v.Value()), u)))
	} else {
		words = append(words, "No vacuum makes the present parts meet all of it.")
	}
	switch v := r.LeastReservoir; {
	case !v.Exists():
		words = append(words, fmt.Sprintf("No tank up to %s gives them the stops left that are wanted: more vacuum to fill it at, or a larger booster, has to come first.",
			tank(mostTank, u)))
	case v.Value() == 0:
		words = append(words, "For the stops left they need no tank.")
	default:
		words = append(words, fmt.Sprintf("For the stops left they need a tank of at least %s.", tank(noLessThan(v.Value()), u)))
	}
	words = append(words, r.leastPumpWords(u))
	return append(words, r.manualWords(u)...)
}

// manualWords say what a pedal without booster would take: a bore is bought, a pedal is made.
func (r *ChooseResult) manualWords(u si.System) []string {
	m := r.EqualManual
	if !m.PedalRatio.Exists() {
		return nil
	}
	if travel := m.PedalTravel.Value(); travel > r.criteria.TravelLimit {
		return []string{fmt.Sprintf("Without a booster no pedal is as light as the present parts with the engine running, %s, within the %s of travel: on a %s bore it would go %s down. %s",
			pedal(r.present.RunningPedal.Value(), u), si.Format(si.DimLength, float64(r.criteria.TravelLimit), u), bore(m.Bore.Value(), u), si.Format(si.DimLength, float64(travel), u), r.keptPedalWords(u))}
	}
	text := fmt.Sprintf("Without a booster a pedal of %.1f:1 on a %s bore asks for the same effort as the present parts with the engine running, %s, and costs %s of pedal travel.",
		float64(m.PedalRatio.Value()), bore(m.Bore.Value(), u), pedal(r.present.RunningPedal.Value(), u),
		si.Format(si.DimLength, float64(m.PedalTravel.Value()), u))
	return []string{text + " " + r.keptPedalWords(u) + " A bore is bought; a pedal of another ratio has to be made."}
}

// keptPedalWords say what the pedal that is there takes without a booster.
func (r *ChooseResult) keptPedalWords(u si.System) string {
	m := r.EqualManual
	as := fmt.Sprintf("The pedal that is there, %.1f:1, ", float64(m.KeptRatio.Value()))
	if !m.KeptPedal.Exists() {
		return as + "does not do it on that bore at any force."
	}
	return as + fmt.Sprintf("would need %s on that bore: %s.", pedal(m.KeptPedal.Value(), u), verdict.Effort(m.KeptPedal.Value()))
}

// text names an option's parts.
func (o *ChooseOption) text(u si.System) string { return o.parts.text(u) }

// reasons are the criteria that an option fails.
func (o *ChooseOption) reasons(u si.System) string {
	var fails []string
	for _, v := range o.findings {
		if !v.holds {
			fails = append(fails, v.words(u))
		}
	}
	return strings.Join(fails, "; ")
}

// closest is the criterion that an option is nearest to failing.
func (o *ChooseOption) closest(u si.System) string {
	for _, v := range o.findings {
		if v.criterion == o.Nearest {
			return "it is nearest to failing on " + v.words(u)
		}
	}
	return o.Why
}

// why is the reason in the units asked for.
func (o *ChooseOption) why(u si.System) string {
	switch {
	case o.unfit != nil:
		return o.unfit(u)
	case o.Passes:
		return o.closest(u)
	}
	return o.reasons(u)
}

// Tables is the list of options, the ones that pass first.
func (r *ChooseResult) Tables() []answer.Table {
	t := answer.Table{Name: "options", Columns: []answer.Column{
		{Key: "booster", Title: "booster"},
		{Key: "reservoir", Title: "tank", Dim: si.DimVolume},
		{Key: "pump", Title: "pump"},
		{Key: "bore", Title: "bore", Dim: si.DimLength},
		{Key: "manual_pedal_ratio", Title: "manual ratio", Dim: si.DimRatio},
		{Key: "passes", Title: "passes"},
		{Key: "margin", Title: "margin", Dim: si.DimRatio},
		{Key: "needed_pedal_running", Title: "pedal, idling", Dim: si.DimForce},
		{Key: "traffic_pedal", Title: "pedal, traffic", Dim: si.DimForce},
		{Key: "dead_stops", Title: "stops, dead"},
		{Key: "needed_pedal", Title: "first stop", Dim: si.DimForce},
		{Key: "assisted_stops", Title: "assisted"},
		{Key: "knee_line", Title: "knee, line", Dim: si.DimPressure},
		{Key: "recharge", Title: "recharge", Dim: si.DimTime},
		{Key: "pedal_travel", Title: "travel", Dim: si.DimLength},
		{Key: "why", Title: "why"},
	}}
	for i := range r.Options {
		o := &r.Options[i]
		t.Rows = append(t.Rows, []answer.Cell{
			o.Booster, float64(o.Reservoir), o.Pump, float64(o.Bore), o.ManualRatio.Cell(), o.Passes, o.Margin.Cell(),
			o.RunningPedal.Cell(), o.TrafficPedal.Cell(), o.DeadStops.Cell(), o.NeededPedal.Cell(), o.AssistedStops.Cell(), o.KneeLine.Cell(), o.Recharge.Cell(), o.PedalTravel.Cell(),
			answer.Phrase(o.why),
		})
	}
	return append([]answer.Table{t}, r.Sure.tables()...)
}

// mostBars bounds a picture of options.
const mostBars = 24

// Figures shows the pedal force of each option beside the limit.
func (r *ChooseResult) Figures() []answer.Figure {
	p := answer.Panel{
		X:      answer.Axis{Label: "Pedal force needed, engine idling", Dim: si.DimForce},
		Levels: []answer.Level{{Label: "limit", Value: float64(r.criteria.PedalLimit), Vertical: true}},
	}
	for i := range r.Options {
		o := &r.Options[i]
		if i == mostBars {
			break
		}
		role, label := answer.Shadow, func(u si.System) string { return o.parts.label(u) + ": fails" }
		if o.Passes {
			role, label = answer.Main, o.parts.label
		}
		v := float64(o.RunningPedal.Value())
		p.Bars = append(p.Bars, answer.Bar{Words: label, Value: v, Low: v, High: v, Role: role})
	}
	options := answer.Figure{Name: "choose", Title: answer.Titled("Options, those that pass first", r.title), Panels: []answer.Panel{p},
		Note: "Simulated. " + planningNote}
	return append(append(r.tradeOff(), options), r.Sure.figures(r.title)...)
}

// Document is the result itself.
func (r *ChooseResult) Document() any { return r }

var _ answer.Answer = (*ChooseResult)(nil)

// noLessThan rounds a tank up to what is shown of one.
func noLessThan(v si.Volume) si.Volume {
	const step = si.Litre / 10
	return si.Volume(math.Ceil(float64(v)/step) * step)
}

// lostWords say that the car has to be mended before anything is bought for it.
func (r *ChooseResult) lostWords() string {
	if r.lost == "" {
		return ""
	}
	return fmt.Sprintf("Mend it first: in this scenario %s lost. What follows is for the car once both circuits are whole.", r.lost)
}
