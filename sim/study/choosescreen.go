package study

import (
	"fmt"

	"kneepoint/internal/verdict"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Screen is what to do, and beside it what is there today and the nearest rival of each
// kind of part, each with its reason.
func (r *ChooseResult) Screen(u si.System) answer.Screen {
	if len(r.Options) == 0 || r.present == nil {
		return answer.Screen{Verdict: r.Words(u)}
	}
	words := r.headline(u)
	if r.lock.Axle == verdict.RearAxle {
		words = append(words, r.rearWords(u))
	}
	if text := r.note.AltitudeWords(u); text != "" {
		words = append(words, text)
	}
	if r.Unfinished > 0 {
		words = append(words, r.unfinishedWords())
	}
	t := answer.Table{Name: "the nearest of each kind", Columns: []answer.Column{
		{Key: "kind", Title: ""},
		{Key: "fit", Title: "fit"},
		{Key: "needed_pedal_running", Title: "idling", Dim: si.DimForce},
		{Key: "dead_stops", Title: "dead"},
		{Key: "why", Title: "why"},
	}}
	row := func(kind string, o *ChooseOption) {
		fit := func(u si.System) string { return o.parts.added(r.present.parts, u) }
		t.Rows = append(t.Rows, []answer.Cell{kind, answer.Phrase(fit), o.RunningPedal.Cell(), o.DeadStops.Cell(), answer.Phrase(o.Short)})
	}
	var listed []*ChooseOption
	if r.Recommended != nil && len(r.Recommended.parts.fitted(r.present.parts)) > 0 {
		row("recommended", r.Recommended)
		listed = append(listed, r.Recommended)
	}
	row("today", r.present)
	for _, rival := range rivals(r.Options, r.present.parts, listed...) {
		row(string(rival.Kind), rival.Option)
	}
	return answer.Screen{Verdict: words, Table: &t, More: []string{r.passedWords(u)}, DependsOn: r.dependsOn()}
}

// dependsOn names the input that decides most, where inputs are uncertain; what the best
// option is nearest to failing on is in the advice.
func (r *ChooseResult) dependsOn() string {
	if r.Sure != nil && len(r.Sure.Influences) > 1 && r.Sure.Influences[0].Total.Exists() {
		return fmt.Sprintf("%s, which alone makes %.0f %% of how %s varies", r.Sure.Influences[0].Input, 100*min(1, float64(r.Sure.Influences[0].Total.Value())), r.Sure.Of)
	}
	return ""
}

// failing says in a few words what it means to fail by a criterion.
var failing = map[string]string{
	"pedal force":  "pedal too hard",
	"pedal travel": "pedal goes too deep",
	"stops left":   "too few stops, dead",
	"recharge":     "refills too slowly",
	"traffic":      "too hard in traffic",
	"pump":         "pump cannot keep up",
}

// outOfReach says in a few words why a stop cannot be had whatever the foot does.
var outOfReach = map[shortfall]string{
	byLock: "a wheel locks first", byStroke: "its stroke ends first", byForce: "beyond any foot", byBrakes: "brakes too small",
}

// Short is the reason in a few words, by the first criterion that fails.
func (o *ChooseOption) Short(u si.System) string {
	if o.unfit != nil {
		return o.unfit(u)
	}
	switch {
	case o.Passes:
		return "meets it all"
	case o.Missing != noShortfall:
		return outOfReach[o.Missing]
	}
	var fails []string
	for _, v := range o.findings {
		if !v.holds {
			fails = append(fails, failing[v.criterion])
		}
	}
	if n := len(fails) - 1; n > 0 {
		return fmt.Sprintf("%s +%d more", fails[0], n)
	}
	return fails[0]
}
