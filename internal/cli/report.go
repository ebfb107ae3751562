//go:build !js

package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"kneepoint/internal/report"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const reportLong = `A report for the customer, to print or to send.

Writes one HTML file that needs no network and prints on A4 and US Letter. Page
one is for who owns the car: will it stop, what to do, what to measure first,
with lines for customer, car, shop and date, by hand or by --for, --car, --by,
--date. The workings follow: the answers in words, what they rest on and which of
that is an estimate, curves and tables, and how to get the same file again. They
are of the studies that the scenario has sections for, those of which a flag is
given, or those that --study names.`

func (c *console) reportCommand() *cobra.Command {
	f := commonFlags{format: "text"} // of the flags' check: a report has no other
	var top form
	r := reporting{studies: c.studies, owner: map[string]string{}}
	cmd := &cobra.Command{
		Use:                   "report [FILE] [flags]",
		DisableFlagsInUseLine: true,
		Short:                 "A report for the customer, to print or to send",
		Long:                  reportLong,
		Example: examples(`kneepoint report car.toml --for "M. Larsen" --by "Tern Lane Garage" -o car.html`,
			`kneepoint report car.toml --study curve,failures --units si -o car.html`),
		Args:              oneFile,
		ValidArgsFunction: completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			return c.report(cmd, fileOf(args), &f, &r, &top)
		},
	}
	cmd.Flags().StringSliceVar(&r.named, "study", nil, "put these `verbs` on the page: "+allOf(r.names()))
	complete(cmd, "study", cobra.FixedCompletions(r.names(), cobra.ShellCompDirectiveNoFileComp))
	f.addCommon(cmd)
	top.addFlags(cmd)
	r.addFlags(cmd)
	return cmd
}

// reporting is what a report takes of the verbs that ask one question.
type reporting struct {
	studies []*studyVerb
	named   []string
	// owner is the verb of a flag that is no flag of every report.
	owner map[string]string
}

func (r *reporting) names() []string {
	var names []string
	for _, v := range r.studies {
		names = append(names, v.command.Name())
	}
	return names
}

// addFlags adds the flags of the verbs themselves, so that each can be asked on a
// report what it can be asked alone.
func (r *reporting) addFlags(cmd *cobra.Command) {
	for _, v := range r.studies {
		if v.flags == nil {
			continue
		}
		var own cobra.Command
		v.flags(&own)
		own.Flags().VisitAll(func(flag *pflag.Flag) {
			if cmd.Flags().Lookup(flag.Name) != nil {
				return // taken by an earlier one, or by the report
			}
			flag.Usage = v.command.Name() + ": " + flag.Usage
			r.owner[flag.Name] = v.command.Name()
			cmd.Flags().AddFlag(flag)
		})
	}
}

// chosen are the studies to put on the page, in the order of the program.
func (r *reporting) chosen(cmd *cobra.Command, s *scenario.Scenario) ([]*studyVerb, error) {
	asked := map[string]bool{}
	var problems []error
	for _, name := range r.named {
		problems = append(problems, checkChoice("--study", name, r.names()))
		asked[name] = true
	}
	byName := cmd.Flags().Changed("study")
	cmd.Flags().Visit(func(flag *pflag.Flag) {
		switch verb := r.owner[flag.Name]; {
		case verb == "":
		case byName && !asked[verb]:
			problems = append(problems, wrong("--"+flag.Name, "a flag of "+verb, "--study with "+verb+" in it too"))
		default:
			asked[verb] = true
		}
	})
	var chosen []*studyVerb
	for _, v := range r.studies {
		if asked[v.command.Name()] || !byName && v.applies != nil && v.applies(s) {
			chosen = append(chosen, v)
		}
	}
	if len(chosen) == 0 {
		problems = append(problems, wrong("--study", "no verb", oneOf(r.names())))
	}
	return chosen, errors.Join(problems...)
}

// report puts every study chosen on one page. As with one study, all that is wrong
// with the input is reported before anything is computed; unlike it, a report that
// could not be finished is not written.
func (c *console) report(cmd *cobra.Command, file string, f *commonFlags, r *reporting, top *form) error {
	s, err := c.open(cmd.Context(), file, f)
	problems := []error{err, f.check(cmd, file), top.check()}
	if f.output == "" && isTerminal(c.out) {
		problems = append(problems, wrong("-o", "nothing", "FILE.html for the report, or - for the terminal"))
	}
	if err != nil {
		return errors.Join(problems...)
	}
	chosen, err := r.chosen(cmd, s)
	problems = append(problems, err)
	cars := make([]*scenario.Scenario, len(chosen))
	for i, v := range chosen {
		cars[i] = s
		if v.prepare != nil {
			cars[i], err = v.prepare(s)
			problems = append(problems, err)
		}
	}
	if err := errors.Join(problems...); err != nil {
		return err
	}
	c.warn(s)
	page := reportPage(s, f)
	page.Command = commandLine(c.args)
	for i, v := range chosen {
		study, err := c.reported(cmd.Context(), v, cars[i])
		if err != nil {
			return err
		}
		if hash := cars[i].Hash(); hash != page.Hash {
			study.Hash = hash
		}
		page.Studies = append(page.Studies, study)
	}
	if page.Front, err = c.front(cmd.Context(), s, page.Studies, top, page.Units); err != nil {
		return fmt.Errorf("the first page could not be computed: %w", err)
	}
	return c.put(f.output, func(w io.Writer) error { return report.HTML(w, page) })
}

// reported asks one study.
func (c *console) reported(ctx context.Context, v *studyVerb, s *scenario.Scenario) (report.Study, error) {
	name := v.command.Name()
	progress := c.watch(name)
	ans, err := v.ask(ctx, s, progress.tell)
	progress.end()
	if err != nil {
		return report.Study{}, fmt.Errorf("%s could not be computed: %w", name, err)
	}
	// Every verb's long text begins with its question.
	question, _, _ := strings.Cut(v.command.Long, "\n")
	return report.Study{Verb: name, Question: question, Answer: ans}, nil
}

// reportPage is the page without its studies.
func reportPage(s *scenario.Scenario, f *commonFlags) report.Page {
	units := f.textSystem()
	page := report.Page{
		Title: s.Title, File: s.Name(), Units: units, Version: report.ThisProgram().String(), Hash: s.Hash(),
		Scenario: (&checkAnswer{scenario: s, units: units}).Document(),
	}
	if s.IsBuiltin() {
		page.File = "the built-in car"
	}
	if page.Title == "" {
		page.Title = "A car without a title"
		if s.IsBuiltin() {
			page.Title = "A typical car"
		}
	}
	for _, w := range s.Warnings {
		page.Warnings = append(page.Warnings, w.String())
	}
	within := map[string]string{}
	for _, t := range s.Spreads {
		if !t.Estimated {
			within[t.Path] = si.FormatSpan(t.Dim, t.Value-t.HalfWidth, t.Value+t.HalfWidth, units)
		}
	}
	for _, e := range s.Entries() {
		in := reportInput(e, s.Name(), units)
		in.Within = within[e.Path]
		switch {
		case e.Path == "title":
		case e.Origin == scenario.Set:
			page.Given = append(page.Given, in)
		case e.Main || f.verbose:
			page.Assumed = append(page.Assumed, in)
		default:
			page.More++
		}
	}
	return page
}

// reportInput is one value for the page; file is where most of them were read.
func reportInput(e scenario.Entry, file string, units si.System) report.Input {
	in := report.Input{
		Key: e.Path, Value: e.Text(units), Meaning: e.Doc, From: e.From, Estimate: e.Estimate,
		SI: e.SI, Unit: strings.TrimPrefix(e.Dim.Unit(si.SI).KeySuffix, "_"),
	}
	switch {
	case e.Origin == scenario.Set:
		in.From = e.Place
		if line, ok := strings.CutPrefix(e.Place, file+":"); ok {
			in.From = "line " + line
		}
	case in.From != "":
	case e.Estimate:
		in.From = "no source"
	case e.Origin == scenario.Derived:
		in.From = "worked out from other values"
	default:
		in.From = "default"
	}
	return in
}

// allOf names things for a flag's help: "a, b, c".
func allOf(names []string) string { return strings.Join(names, ", ") }
