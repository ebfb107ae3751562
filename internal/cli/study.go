package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"kneepoint/internal/batch"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
)

// An asker puts one question to a scenario. With an error it may still return
// what it found so far.
type asker func(context.Context, *scenario.Scenario, batch.Progress) (answer.Answer, error)

// A studyVerb is a verb that asks one question.
type studyVerb struct {
	// command has the name and the texts.
	command cobra.Command
	// flags adds flags of the verb's own, and prepare applies them to the
	// scenario; both may be nil. An error of prepare is about the flags.
	flags   func(*cobra.Command)
	prepare func(*scenario.Scenario) (*scenario.Scenario, error)
	ask     asker
	// applies says whether a report has it without being asked for it; where it is
	// nil, none has.
	applies func(*scenario.Scenario) bool
}

// study makes the command of a verb, and has reports know it.
func (c *console) study(v studyVerb) *cobra.Command {
	c.studies = append(c.studies, &v)
	cmd := &v.command
	cmd.Use += " [FILE] [flags]"
	cmd.DisableFlagsInUseLine = true
	cmd.Args = oneFile
	cmd.ValidArgsFunction = completeFile
	var f commonFlags
	if v.flags != nil {
		v.flags(cmd)
	}
	f.add(cmd)
	f.addPlot(cmd)
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		return c.answer(cmd, fileOf(args), &f, v)
	}
	return cmd
}

// answer reads the scenario, asks, and writes what was found. All that is wrong
// with the input is reported at once, before anything is computed.
func (c *console) answer(cmd *cobra.Command, file string, f *commonFlags, v studyVerb) error {
	s, err := c.open(cmd.Context(), file, f)
	if err == nil && v.prepare != nil {
		s, err = v.prepare(s)
	}
	if err := errors.Join(err, f.check(cmd, file)); err != nil {
		return err
	}
	c.warn(s)

	progress := c.watch(cmd.Name())
	ans, failed := v.ask(cmd.Context(), s, progress.tell)
	progress.end()
	if failed != nil {
		failed = fmt.Errorf("could not be computed: %w", failed)
	}
	if ans == nil {
		return failed
	}
	if failed != nil {
		ans = unfinished{ans}
		if toFile(f.output) && f.format == "csv" {
			// What is missing in a table could not be seen; its users look for numbers only.
			c.say("%s was not written, since not all of it was found; with --format json it would say so", f.output)
			return failed
		}
	}
	var plotted error
	if f.plot != "" && failed == nil {
		plotted = c.plot(f.plot, ans, f.textSystem())
	}
	written := c.put(f.output, func(w io.Writer) error {
		return c.write(w, ans, f, s)
	})
	return errors.Join(failed, plotted, written)
}

// warn says what is unlikely in the scenario.
func (c *console) warn(s *scenario.Scenario) {
	for _, w := range warnings(s) {
		c.say("%s", w)
	}
}

func warnings(s *scenario.Scenario) []string {
	var words []string
	for _, p := range s.Warnings {
		words = append(words, p.String()+" (warning)")
	}
	return words
}

// found keeps a missing result from becoming an answer that is not nil.
func found[T any, P interface {
	*T
	answer.Answer
}](result P, err error) (answer.Answer, error) {
	if result == nil {
		return nil, err
	}
	return result, err
}

// oneFile allows one scenario, or none for the built-in car.
func oneFile(_ *cobra.Command, args []string) error {
	if len(args) > 1 {
		return wrong("FILE", strings.Join(quoted(args), " and "), `one file; a value with a space needs quotes, as in --set source.vacuum="18 inHg"`)
	}
	if len(args) == 1 && args[0] == "" {
		return wrong("FILE", "an empty name", "a scenario file, or - for standard input")
	}
	return nil
}

func fileOf(args []string) string {
	if len(args) == 0 {
		return ""
	}
	return args[0]
}

func quoted(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = fmt.Sprintf("%q", w)
	}
	return out
}

// override changes one value for a flag, and names the flag if that is wrong.
func override(s *scenario.Scenario, flag, path, value string, unset ...string) (*scenario.Scenario, error) {
	changed, err := s.Edit([]scenario.Setting{{Path: path, Value: value}}, unset...)
	var input *scenario.InputError
	if !errors.As(err, &input) {
		return changed, err
	}
	var problems []error
	for _, p := range input.Problems {
		read := p.Read
		if p.Key != path {
			read = p.Key + " " + read
		}
		problems = append(problems, wrong(flag, read, p.Want))
	}
	return nil, errors.Join(problems...)
}
