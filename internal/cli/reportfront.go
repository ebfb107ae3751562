//go:build !js

package cli

import (
	"context"
	"errors"
	"fmt"
	"html/template"
	"strings"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"kneepoint/internal/ask"
	"kneepoint/internal/batch"
	"kneepoint/internal/diagnose"
	"kneepoint/internal/film"
	"kneepoint/internal/report"
	"kneepoint/internal/web"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// form are the lines at the top of a report's first page.
type form struct{ customer, car, shop, date string }

func (f *form) addFlags(cmd *cobra.Command) {
	for _, l := range f.lines() {
		cmd.Flags().StringVar(l.to, l.flag, "", "the `TEXT` of the line \""+l.name+"\"; without it the line is there to be filled in by hand")
	}
}

// formLine is one of those lines.
type formLine struct {
	flag, name string
	to         *string
}

func (f *form) lines() []formLine {
	return []formLine{{"for", "Customer", &f.customer}, {"car", "Car", &f.car}, {"by", "Shop", &f.shop}, {"date", "Date", &f.date}}
}

// longestLine is how many letters a line has room for.
const longestLine = 60

func (f *form) check() error {
	var problems []error
	for _, l := range f.lines() {
		if n := utf8.RuneCountInString(*l.to); n > longestLine || strings.ContainsAny(*l.to, "\r\n") {
			problems = append(problems, wrong("--"+l.flag, fmt.Sprintf("%d letters", n), fmt.Sprintf("one line of at most %d", longestLine)))
		}
	}
	return errors.Join(problems...)
}

// front is a report's first page: that of ask for the car, and over it the diagnosis where
// the scenario has readings. The one among the studies is taken, if it is there.
func (c *console) front(ctx context.Context, s *scenario.Scenario, studies []report.Study, f *form, u si.System) (*report.Front, error) {
	known := ask.New(s)
	if err := known.Put(ask.PassAltitude, "none"); err != nil {
		return nil, err // nobody said that it goes there
	}
	car, err := known.Car()
	if err != nil {
		return nil, err
	}
	progress := c.watch("first page")
	defer progress.end()
	page, err := car.Page(ctx, progress.tell)
	if err != nil {
		return nil, err
	}
	ofCar := web.FrontOfCar(page, u)
	out := &report.Front{Stops: ofCar.Stops, Notes: ofCar.Notes, Question: ofCar.Question, Verdict: ofCar.Verdict}
	for _, l := range f.lines() {
		out.Lines = append(out.Lines, report.Line{Name: l.name, Text: *l.to})
	}
	mend, err := c.mend(ctx, s, studies, out, u, progress.tell)
	if err != nil {
		return nil, err
	}
	if !mend {
		out.Do, out.Worth = ofCar.Do, ofCar.Worth
	}
	if out.Measure == nil {
		out.Measure, out.NoMeasure = ofCar.Measure, ofCar.NoMeasure
	}
	return out, still(ctx, s, page.Situations[0].Pedal, out, u)
}

// mend puts what is wrong with the car on the page, and says whether anything is: then
// that comes before all purchases.
func (c *console) mend(ctx context.Context, s *scenario.Scenario, studies []report.Study, out *report.Front, u si.System, w batch.Progress) (bool, error) {
	with, do := web.Broken(&s.Config)
	out.Do = do
	out.Verdict = append(with, out.Verdict...)
	if !s.IsSet("reading") {
		return len(out.Do) > 0, nil
	}
	found, err := diagnosis(ctx, s, studies, w)
	if err != nil {
		return false, err
	}
	out.StopsTitle = "With nothing wrong the same car would need this:"
	if len(out.Do) > 0 {
		out.StopsTitle = "Without what the readings show the same car would need this:"
	}
	ofFault := web.FrontOfFault(found, u)
	out.Question, out.Verdict, out.Do = ofFault.Question, append(ofFault.Verdict, with...), append(ofFault.Do, out.Do...)
	out.Measure = ofFault.Measure
	return true, nil
}

// diagnosis is that among the studies, or else a new one.
func diagnosis(ctx context.Context, s *scenario.Scenario, studies []report.Study, w batch.Progress) (*diagnose.Diagnosis, error) {
	for _, study := range studies {
		if d, ok := study.Answer.(*diagnose.Diagnosis); ok {
			return d, nil
		}
	}
	return diagnose.Diagnose(ctx, s, w)
}

// still puts the drawing on the page: the booster at the end of an ordinary stop.
func still(ctx context.Context, s *scenario.Scenario, pedal answer.Optional[si.Force], out *report.Front, u si.System) error {
	if s.Config.Booster.Kind == sim.BoosterNone {
		return nil
	}
	force := s.Reserve.Pedal
	if pedal.Exists() {
		force = pedal.Value()
	}
	label := fmt.Sprintf("Section through the brake booster, pressed with %s", si.Format(si.DimForce, float64(force), u))
	drawing, err := film.Still(ctx, s, force, u, label, "still")
	if err != nil {
		return err
	}
	out.Picture = template.HTML(drawing)
	out.PictureNote = fmt.Sprintf("The booster cut open, %s on the pedal and the engine running. Blue is vacuum, sand outside air, orange pressure in the lines; the round window shows the valve enlarged.",
		si.Format(si.DimForce, float64(force), u))
	return nil
}
