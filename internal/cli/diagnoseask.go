package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"kneepoint/internal/diagnose"
	"kneepoint/internal/report"
	"kneepoint/sim/scenario"
)

// askForFault finds the fault question by question. The file is the state: every answer is
// written into it before the next question is put.
func (c *console) askForFault(cmd *cobra.Command, file string, tools []string) error {
	f := flagsOf(cmd)
	if len(f.sets) > 0 {
		return wrong("--set", "a setting with --ask", "it in the file, since the answers are written there")
	}
	if file == "-" {
		return wrong("FILE", "- with the answers from standard input", "a file, into which the answers are written")
	}
	document, err := readState(file)
	if err != nil {
		return err
	}
	interview, err := diagnose.NewInterview(orStdin(file), document)
	if err == nil && len(tools) > 0 {
		err = interview.SetTools(tools)
	}
	if err := errors.Join(err, f.check(cmd, file)); err != nil {
		return err
	}
	c.warn(interview.Scenario())
	if file == "" {
		c.say("No FILE, so the answers are not kept.")
	}
	if err := c.putQuestions(cmd, file, &f, interview); err != nil {
		return err
	}
	progress := c.watch(cmd.Name())
	d, err := interview.Diagnosis(cmd.Context(), progress.tell)
	progress.end()
	if err != nil {
		return fmt.Errorf("could not be computed: %w", err)
	}
	if f.plot != "" {
		if err := c.plot(f.plot, d, f.textSystem()); err != nil {
			return err
		}
	}
	return c.put(f.output, func(w io.Writer) error {
		return c.write(w, d, &f, interview.Scenario())
	})
}

// emptyState is a car of which nothing was said yet.
const emptyState = "[diagnose]\n"

// readState reads the file; one that there is not yet is empty.
func readState(file string) (string, error) {
	if file == "" {
		return emptyState, nil
	}
	data, err := os.ReadFile(file)
	switch {
	case err == nil:
		return string(data), nil
	case errors.Is(err, fs.ErrNotExist):
		return emptyState, nil
	}
	return "", wrong("FILE", fmt.Sprintf("%q", file), "a file that can be read and written")
}

func orStdin(file string) string {
	if file == "" {
		return "answers"
	}
	return file
}

// putQuestions asks until no test is worth its minutes, or nobody answers. On a
// terminal a bad answer is asked again; from a pipe it is an error with its line.
func (c *console) putQuestions(cmd *cobra.Command, file string, f *commonFlags, v *diagnose.Interview) error {
	again := isTerminalReader(c.in)
	in := bufio.NewReader(c.in)
	c.say(`An answer is a word, a figure, a range or a bound; an empty line is "can't tell", and "stop" leaves.`)
	for line := 0; ; {
		progress := c.watch(cmd.Name())
		q, done, err := v.Asked(cmd.Context(), f.textSystem(), progress.tell)
		progress.end()
		if err != nil {
			return fmt.Errorf("could not be computed: %w", err)
		}
		if text := v.Leading(); text != "" {
			c.say("   %s", text)
		}
		if done {
			return nil
		}
		for answered := false; !answered; {
			c.ask1(q)
			text, err := in.ReadString('\n')
			if err != nil && err != io.EOF {
				return err
			}
			text = strings.TrimSpace(text)
			if err == io.EOF && text == "" || text == "stop" || text == "quit" {
				c.say("")
				return nil
			}
			line++
			if err := v.Answer(q, text); err != nil {
				read, want := slipOf(err, text)
				if !again {
					c.say("") // the question's line is open
					return wrong(fmt.Sprintf("stdin:%d: %s", line, q.Key), read, want)
				}
				c.say("   Read %s; wanted: %s.", read, want)
				continue
			}
			answered = true
		}
		if file != "" {
			err := report.WriteFile(file, func(w io.Writer) error {
				_, err := io.WriteString(w, v.Document())
				return err
			})
			if err != nil {
				return unwritten("FILE", err)
			}
		}
	}
}

// ask1 puts one question.
func (c *console) ask1(q diagnose.Question) {
	hint := q.Unit
	if len(q.Answers) > 0 {
		hint = strings.Join(q.Answers, ", ")
	} else if hint == "" {
		hint = "a number"
	}
	c.say("\n%s", q.Text)
	fmt.Fprintf(c.err, "   (%s): ", hint)
}

// slipOf is what was read and what would be right.
func slipOf(err error, text string) (read, want string) {
	var bad *scenario.InputError
	if errors.As(err, &bad) && len(bad.Problems) > 0 {
		return bad.Problems[0].Read, bad.Problems[0].Want
	}
	return fmt.Sprintf("%q", text), err.Error()
}
