// Package cli is the command line: one file a verb. It reads flags and files,
// has a study answer, and writes the answer; it computes nothing itself.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
)

// The exit statuses.
const (
	done        = 0
	notComputed = 1
	wrongInput  = 2
)

// Main runs one command line, without the program's name, and returns the exit
// status: 0 done, 1 could not be computed, 2 the input is wrong. Results go to
// stdout, words about progress or trouble to stderr. When the context ends, so
// does the command.
func Main(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	c := &console{ctx: ctx, args: args, in: interruptible{ctx, stdin}, out: stdout, err: stderr}
	root := c.root()
	// Cobra takes nil for the arguments of the process.
	root.SetArgs(append([]string{}, args...))
	return c.exitStatus(ctx, root.ExecuteContext(ctx))
}

// console is where one command reads and writes.
type console struct {
	// ctx ends with an interrupt.
	ctx context.Context
	// args are what was typed.
	args     []string
	in       io.Reader
	out, err io.Writer
	// studies are the verbs that ask one question, in the order of the program.
	studies []*studyVerb
}

// say writes a line on standard error.
func (c *console) say(format string, args ...any) {
	fmt.Fprintln(c.err, answer.Inert(fmt.Sprintf(format, args...)))
}

func (c *console) exitStatus(ctx context.Context, err error) int {
	switch {
	case err == nil:
		return done
	case ctx.Err() != nil:
		c.say("stopped")
		return notComputed
	}
	c.say("%v", err)
	if isInput(err) {
		return wrongInput
	}
	return notComputed
}

// isInput reports whether the error is about what was typed or read.
func isInput(err error) bool {
	var flags *inputError
	var document *scenario.InputError
	return errors.As(err, &flags) || errors.As(err, &document)
}

// inputError is one thing wrong with the command line.
type inputError struct{ at, read, want string }

func (e *inputError) Error() string {
	return fmt.Sprintf("%s: read %s, want %s", e.at, e.read, e.want)
}

// wrong returns the error that something was read at a flag, or a place like
// one, where something else would be right.
func wrong(at, read, want string) error { return &inputError{at, read, want} }

// oneOf names the choices for a message: "a, b or c".
func oneOf(choices []string) string {
	text := ""
	for i, c := range choices {
		switch {
		case i == 0:
		case i == len(choices)-1:
			text += " or "
		default:
			text += ", "
		}
		text += c
	}
	return text
}

// checkChoice refuses a word that is not among the choices.
func checkChoice(flag, read string, choices []string) error {
	if slices.Contains(choices, read) {
		return nil
	}
	return wrong(flag, fmt.Sprintf("%q", read), oneOf(choices))
}

// interruptible is a reader that gives up when its context ends, so that a
// command waiting for someone to type can be stopped.
type interruptible struct {
	ctx context.Context
	r   io.Reader
}

func (i interruptible) Read(p []byte) (int, error) {
	type result struct {
		n   int
		err error
	}
	// A read that is given up may still write: into a buffer of its own.
	own := make([]byte, len(p))
	ready := make(chan result, 1)
	go func() {
		n, err := i.r.Read(own)
		ready <- result{n, err}
	}()
	select {
	case got := <-ready:
		return copy(p, own[:got.n]), got.err
	case <-i.ctx.Done():
		return 0, i.ctx.Err()
	}
}
