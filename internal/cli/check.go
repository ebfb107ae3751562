package cli

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"kneepoint/internal/sourcenote"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

const checkLong = `Is the scenario all right?

Says what is wrong or unlikely, whether an electric pump keeps up with stop after
stop, and what will be assumed.`

func (c *console) checkCommand() *cobra.Command {
	var f commonFlags
	cmd := &cobra.Command{
		Use:                   "check [FILE] [flags]",
		DisableFlagsInUseLine: true,
		Short:                 "Whether a scenario is all right, and what it leaves open",
		Long:                  checkLong,
		Example:               examples("kneepoint check car.toml", "kneepoint check car.toml --verbose --units si"),
		Args:                  oneFile,
		ValidArgsFunction:     completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			s, err := c.open(cmd.Context(), fileOf(args), &f)
			if err := errors.Join(err, f.check(cmd, fileOf(args))); err != nil {
				return err
			}
			// A text has the warnings in it already.
			if f.format != "text" || toFile(f.output) || !readTogether(c.out, c.err) {
				c.warn(s)
			}
			pump, err := study.PumpWarning(cmd.Context(), s, f.textSystem())
			if err != nil {
				return err
			}
			a := &checkAnswer{scenario: s, pump: pump, units: f.textSystem(), data: f.format == "csv", all: f.verbose}
			if a.data {
				a.units = f.dataSystem()
			}
			return c.put(f.output, func(w io.Writer) error {
				if f.verbose {
					return c.writePage(w, a, &f, s)
				}
				return c.write(w, a, &f, s)
			})
		},
	}
	f.add(cmd)
	return cmd
}

// checkAnswer is what there is to say about a scenario before it is run.
type checkAnswer struct {
	scenario *scenario.Scenario
	// pump says that the electric pump cannot keep up; empty if it does.
	pump  string
	units si.System
	// data says that the table is for a program, which takes all there is; in a
	// text it appears when all values are asked for.
	data, all bool
}

func (a *checkAnswer) Words(u si.System) []string {
	words := append(a.judged(u), a.warnings()...)
	text := a.counted()
	if !a.all {
		text += " --verbose lists every one."
	}
	return append(append(words, a.notes(u)...), text)
}

// judged says whether the scenario is all right.
func (a *checkAnswer) judged(u si.System) []string {
	s := a.scenario
	name := s.Name()
	if s.IsBuiltin() {
		name = "The built-in car"
	}
	if s.Title != "" {
		name += fmt.Sprintf(" (%s)", s.Title)
	}
	switch n := len(s.Warnings); n {
	case 0:
		if len(a.notes(u)) > 0 {
			return []string{name + " can be run."}
		}
		return []string{name + " is fine."}
	case 1:
		return []string{name + " can be run, and one thing in it is unlikely:"}
	default:
		return []string{fmt.Sprintf("%s can be run, and %d things in it are unlikely:", name, n)}
	}
}

func (a *checkAnswer) warnings() []string {
	var words []string
	for _, w := range a.scenario.Warnings {
		words = append(words, w.String())
	}
	return words
}

// notes are what has to be known of a lost circuit, of the pump and of the source's vacuum.
func (a *checkAnswer) notes(u si.System) []string {
	var notes []string
	for _, text := range []string{study.LostWords(&a.scenario.Config), a.pump} {
		if text != "" {
			notes = append(notes, text)
		}
	}
	return append(notes, sourcenote.On(a.scenario).Words(u)...)
}

// counted says how much of the scenario was given.
func (a *checkAnswer) counted() string {
	set, estimates := 0, 0
	entries := a.scenario.Entries()
	for _, e := range entries {
		if e.Origin == scenario.Set {
			set++
		}
		if e.Estimate {
			estimates++
		}
	}
	return fmt.Sprintf("Of its %d values %d are set and %d are assumed, %d of these estimates without a source.", len(entries), set, len(entries)-set, estimates)
}

// mindLess are the main values that a car on an ordinary road minds less than the others.
var mindLess = []string{scenario.KeyAmbientPressure, scenario.KeySourceDisplacement, scenario.KeySourceIdleSpeed}

// mostWarnings is how many warnings a first screen has room for.
const mostWarnings = 3

// Screen says whether the scenario is all right, and which assumed value to find out first.
func (a *checkAnswer) Screen(u si.System) answer.Screen {
	warnings := a.warnings()
	if n := len(warnings) - mostWarnings; n > 0 {
		warnings = append(warnings[:mostWarnings], fmt.Sprintf("And %d more.", n))
	}
	out := answer.Screen{
		Verdict:   append(append(a.judged(u), warnings...), a.notes(u)...),
		More:      []string{a.counted()},
		DependsOn: "what was set in it, since of what matters most nothing is assumed",
		Next:      "see how hard a stop in an emergency is", Command: answer.Command{Verb: "curve"},
	}
	if a.scenario.IsBuiltin() {
		out.Next, out.Command = "answer some plain questions about your own car", answer.Command{Verb: "ask"}
	}
	var open []string
	assumed := a.scenario.Assumed(false)
	less := func(e scenario.Entry) int { return slices.Index(mindLess, e.Path) }
	slices.SortStableFunc(assumed, func(a, b scenario.Entry) int { return cmp.Compare(less(a), less(b)) })
	for _, e := range assumed {
		if e.Range == nil {
			continue
		}
		if len(open) == 0 && e.HowToMeasure != "" {
			out.Next = fmt.Sprintf("find out %s (%s); then %s", e.Path, e.HowToMeasure, out.Next)
		}
		open = append(open, fmt.Sprintf("%s, which may be %s", e.Path, rangeText(e.Dim, *e.Range, u)))
	}
	const few = 3
	if len(open) > 0 {
		out.DependsOn = strings.Join(open[:min(few, len(open))], "; ") + " (estimates)"
	}
	return out
}

func (a *checkAnswer) Tables() []answer.Table {
	if !a.all && !a.data {
		return nil
	}
	t := answer.Table{Name: "every value", Columns: []answer.Column{
		{Key: "key", Title: "key"}, {Key: "value", Title: "value"}, {Key: "origin", Title: "origin"}, {Key: "estimate", Title: "estimate"},
	}}
	if a.data {
		t.Columns = append(t.Columns, answer.Column{Key: "place"}, answer.Column{Key: "meaning"}, answer.Column{Key: "default_from"})
	}
	for _, e := range a.scenario.Entries() {
		row := []answer.Cell{e.Path, e.Text(a.units), string(e.Origin), e.Estimate}
		if a.data {
			row = append(row, e.Place, e.Doc, e.From)
		}
		t.Rows = append(t.Rows, row)
	}
	return []answer.Table{t}
}

func (a *checkAnswer) Figures() []answer.Figure { return nil }

// checkDocument is the JSON of a check.
type checkDocument struct {
	File     string         `json:"file"`
	Title    string         `json:"title"`
	Fine     bool           `json:"fine"`
	Warnings []checkWarning `json:"warnings"`
	// PumpKeepsUp is null without an electric pump.
	PumpKeepsUp *bool        `json:"pump_keeps_up"`
	Values      []checkValue `json:"values"`
}

type checkWarning struct {
	File string `json:"file"`
	Line *int   `json:"line"` // null for a flag
	Key  string `json:"key"`
	Read string `json:"read"`
	Want string `json:"want"`
}

type checkValue struct {
	Key      string `json:"key"`
	Value    string `json:"value"` // as TOML
	Numbers  any    `json:"si"`    // a number, a list of them, or null
	Unit     string `json:"si_unit"`
	Origin   string `json:"origin"`
	Place    string `json:"place"`
	Assumed  bool   `json:"assumed"`
	Estimate bool   `json:"estimate"`
	Main     bool   `json:"main"`
	Meaning  string `json:"meaning"`
	From     string `json:"default_from"`
}

func (a *checkAnswer) Document() any {
	s := a.scenario
	d := checkDocument{File: s.Name(), Title: s.Title, Fine: len(s.Warnings) == 0, Warnings: []checkWarning{}, Values: []checkValue{}}
	if s.Config.Pump.FreeFlow > 0 {
		keeps := a.pump == ""
		d.PumpKeepsUp = &keeps
	}
	for _, w := range s.Warnings {
		out := checkWarning{File: w.File, Key: w.Key, Read: w.Read, Want: w.Want}
		if w.Line > 0 {
			out.Line = &w.Line
		}
		d.Warnings = append(d.Warnings, out)
	}
	for _, e := range s.Entries() {
		v := checkValue{
			Key: e.Path, Value: e.TOML, Origin: string(e.Origin), Place: e.Place, Assumed: e.Origin != scenario.Set,
			Estimate: e.Estimate, Main: e.Main, Meaning: e.Doc, From: e.From,
		}
		switch len(e.SI) {
		case 0:
		case 1:
			v.Numbers = e.SI[0]
		default:
			v.Numbers = e.SI
		}
		if e.SI != nil {
			v.Unit = strings.TrimPrefix(e.Dim.Unit(si.SI).KeySuffix, "_")
		}
		d.Values = append(d.Values, v)
	}
	return d
}
