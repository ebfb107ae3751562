package study

import (
	"fmt"
	"strings"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
	"kneepoint/sim/verdict"
)

// Screen is what to do, and beside it what is there today and the nearest rival of each
// kind of part, each with its reason.
func (r *ChooseResult) Screen(u si.System) ([]string, []answer.Table) {
	if len(r.Options) == 0 || r.present == nil {
		return r.Words(u), nil
	}
	words := []string{r.advice(u)}
	if r.lock.Axle == verdict.RearAxle {
		words = append(words, r.rearWords(u))
	}
	if text := r.note.AltitudeWords(u); text != "" {
		words = append(words, text)
	}
	words = append(words, r.passedWords(u))
	if r.Unfinished > 0 {
		words = append(words, r.unfinishedWords())
	}
	if text := r.Sure.hangsWords(); text != "" {
		words = append(words, text)
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
		t.Rows = append(t.Rows, []answer.Cell{kind, answer.Phrase(fit), o.RunningPedal.Cell(), o.DeadStops.Cell(), answer.Phrase(o.short)})
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
	return words, []answer.Table{t}
}

// short is the reason in a few words: where there is least room, or the first of what fails.
func (o *ChooseOption) short(u si.System) string {
	if o.unfit != nil {
		return o.unfit(u)
	}
	if o.Passes {
		return "meets it all; least room: " + o.Nearest
	}
	var fails []string
	for _, v := range o.findings {
		if !v.holds {
			fails = append(fails, v.words(u))
		}
	}
	text := strings.ReplaceAll(fails[0], ", at least ", ", wanted ")
	text = strings.TrimSuffix(strings.ReplaceAll(text, ", at most ", ", limit "), " wanted")
	if n := len(fails) - 1; n > 0 {
		text += fmt.Sprintf("; and %d more", n)
	}
	return text
}
