package study

import (
	"slices"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// tradeOff is the pedal force of the ordinary stop against the stops left with the engine
// dead: the least force that any option with at least so many stops needs, and where what
// is there and what is recommended lie. There is none where no option has both.
func (r *ChooseResult) tradeOff() []answer.Figure {
	least := map[int]float64{}
	most := 0
	for i := range r.Options {
		o := &r.Options[i]
		if !o.DeadStops.Exists() || !o.RunningPedal.Exists() {
			continue
		}
		n := int(o.DeadStops.Value())
		most = max(most, n)
		if f, ok := least[n]; !ok || float64(o.RunningPedal.Value()) < f {
			least[n] = float64(o.RunningPedal.Value())
		}
	}
	if len(least) == 0 || r.present == nil {
		return nil
	}
	front := answer.Curve{Label: "the least of all options", Role: answer.Main, Dots: true}
	for n := most; n >= 0; n-- {
		if f, ok := least[n]; ok && (len(front.Y) == 0 || f < front.Y[len(front.Y)-1]) {
			front.X, front.Y = append(front.X, float64(n)), append(front.Y, f)
		}
	}
	slices.Reverse(front.X)
	slices.Reverse(front.Y)
	p := answer.Panel{
		X:      answer.Axis{Label: "Stops left with the engine dead", From: -0.5, To: float64(max(most, r.criteria.StopsLeft)) + 1.5},
		Y:      answer.Axis{Label: "Pedal force needed, engine idling", Dim: si.DimForce},
		Curves: []answer.Curve{front},
		Levels: []answer.Level{{Label: "limit", Value: float64(r.criteria.PedalLimit)}, {Label: "stops wanted", Value: float64(r.criteria.StopsLeft), Vertical: true}},
	}
	mark := func(label string, o *ChooseOption) {
		if o.DeadStops.Exists() && o.RunningPedal.Exists() {
			p.Marks = append(p.Marks, answer.Mark{Label: label, X: o.DeadStops.Value(), Y: float64(o.RunningPedal.Value())})
		}
	}
	mark("today", r.present)
	if r.Recommended != nil && len(r.Recommended.parts.fitted(r.present.parts)) > 0 {
		mark("recommended", r.Recommended)
	}
	return []answer.Figure{{Name: "trade", Title: answer.Titled("Pedal force against stops left", r.title), Panels: []answer.Panel{p},
		Note: "Simulated. " + planningNote}}
}
