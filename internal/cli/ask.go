package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"kneepoint/internal/ask"
	"kneepoint/sim/scenario"
)

const askLong = `Will it stop? Questions to answer, about a car that is not measured.

Asks what people know about their car, one thing after the other; an empty line
is "don't know", and stops nothing. Ends on one page: whether it stops, what is
worth buying, what to measure first. A question mark says how to measure.

With --answers the answers come from a file, one "question = answer" a line;
what is not there is not known. FILE is a scenario to begin with. With --save
all of it becomes a scenario, which every verb takes.`

// askFlags are those of ask.
type askFlags struct {
	commonFlags
	answers, save string
	force         bool
}

func (c *console) askCommand() *cobra.Command {
	var f askFlags
	cmd := &cobra.Command{
		Use:                   "ask [FILE] [flags]",
		DisableFlagsInUseLine: true,
		Short:                 "Will it stop? Questions to answer",
		Long:                  askLong,
		Example:               examples("kneepoint ask", "kneepoint ask --answers mine.txt --save mine.toml"),
		Args:                  oneFile,
		ValidArgsFunction:     completeFile,
		RunE: func(cmd *cobra.Command, args []string) error {
			return c.ask(cmd, fileOf(args), &f)
		},
	}
	f.add(cmd)
	cmd.Flags().StringVar(&f.answers, "answers", "", "take the answers from `FILE`, - for standard input")
	cmd.Flags().StringVar(&f.save, "save", "", "write the car as a scenario into `FILE.toml`")
	cmd.Flags().BoolVar(&f.force, "force", false, "let --save replace a file that exists")
	return cmd
}

func (c *console) ask(cmd *cobra.Command, file string, f *askFlags) error {
	if err := errors.Join(f.check(cmd, file), f.checkSave(file), f.checkInputs(file)); err != nil {
		return err
	}
	answers, err := c.beginAsking(cmd.Context(), file, f)
	if err != nil {
		return err
	}
	switch f.answers {
	case "":
		err = c.interview(answers)
	case "-":
		err = answers.Read(c.in, "stdin")
	default:
		err = readAnswers(answers, f.answers)
	}
	if err != nil {
		return err
	}
	car, err := answers.Car()
	if err != nil {
		return err
	}
	c.warn(car.Scenario)
	if f.save != "" {
		if err := c.writeFile(f.save, func(w io.Writer) error {
			_, err := io.WriteString(w, car.Document())
			return err
		}); err != nil {
			return unwritten("--save", err)
		}
		c.say("wrote %s", f.save)
	}
	progress := c.watch(cmd.Name())
	page, err := car.Page(cmd.Context(), progress.tell)
	progress.end()
	if err != nil {
		return fmt.Errorf("could not be computed: %w", err)
	}
	return c.put(f.output, func(w io.Writer) error { return c.writePage(w, page, &f.commonFlags, car.Scenario) })
}

// beginAsking takes what is known already: a scenario, or what flags set.
func (c *console) beginAsking(ctx context.Context, file string, f *askFlags) (*ask.Answers, error) {
	if file == "" {
		return ask.Blank(f.sets...)
	}
	base, err := c.open(ctx, file, &f.commonFlags)
	if err != nil {
		return nil, err
	}
	c.warn(base)
	return ask.New(base), nil
}

// checkSave refuses two outputs into one file, and one over a scenario.
func (f *askFlags) checkSave(input string) error {
	if f.save == "" {
		return nil
	}
	if f.save == "-" {
		return wrong("--save", `"-"`, "the name of a file; the page is what goes to standard output")
	}
	if f.save == f.output {
		return wrong("--save", fmt.Sprintf("%q", f.save), "another file than that of -o")
	}
	return checkNew("--save", f.save, input, f.force)
}

// checkInputs refuses to read two things from one input.
func (f *askFlags) checkInputs(file string) error {
	switch {
	case file != "-":
	case f.answers == "-":
		return wrong("--answers", "- with the scenario from standard input too", "one of the two from a file")
	case f.answers == "":
		return wrong("FILE", "- with the answers from standard input too", "a file, or --answers FILE")
	}
	return nil
}

func readAnswers(answers *ask.Answers, file string) error {
	in, err := os.Open(file)
	if err != nil {
		return wrong("--answers", fmt.Sprintf("%q", file), "a file that can be read, or - for standard input")
	}
	defer in.Close()
	if err := answers.Read(in, file); err != nil {
		var known *scenario.InputError
		if errors.As(err, &known) {
			return err
		}
		return wrong("--answers", fmt.Sprintf("%q", file), "a file that can be read, or - for standard input")
	}
	return nil
}

// interview puts the questions one after the other. On a terminal a bad answer is asked
// again; from a pipe nobody can, and it is an error with its line.
func (c *console) interview(answers *ask.Answers) error {
	again := isTerminalReader(c.in)
	in := bufio.NewReader(c.in)
	all := ask.Questions()
	c.say("%d questions. An empty line is \"don't know\"; a ? says how to measure.", len(all))
	line := 0
	for i := range all {
		q := &all[i]
		for {
			c.prompt(answers, q, i+1)
			text, err := in.ReadString('\n')
			if err != nil && err != io.EOF {
				return err
			}
			if err == io.EOF && text == "" {
				c.say("")
				return nil
			}
			line++
			text = strings.TrimSpace(text)
			if text == "?" {
				c.say("   To measure it: %s.", q.Measure)
				if !again {
					break
				}
				continue
			}
			if text == "" && answers.Said(q) != "" {
				break
			}
			wrongAnswer := answers.Put(q.Name, text)
			if wrongAnswer == nil {
				break
			}
			var slip *ask.Slip
			if !errors.As(wrongAnswer, &slip) {
				return wrongAnswer
			}
			if !again {
				return wrong(fmt.Sprintf("stdin:%d: %s", line, q.Name), slip.Read, slip.Want)
			}
			c.say("   Read %s; wanted: %s.", slip.Read, slip.Want)
		}
	}
	return nil
}

// prompt puts one question.
func (c *console) prompt(answers *ask.Answers, q *ask.Question, n int) {
	c.say("\n%d. %s\n   (%s; e.g. %s)", n, q.Ask, q.For, strings.Join(q.Examples, "; "))
	if said := answers.Said(q); said != "" {
		c.say("   The file says %s; an empty line keeps that.", said)
	}
	fmt.Fprintf(c.err, "   %s: ", q.Name)
}
