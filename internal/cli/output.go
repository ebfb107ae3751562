package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"

	"golang.org/x/term"

	"kneepoint/internal/report"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// toFile reports whether the value of -o names a file; a dash is standard output.
func toFile(output string) bool { return output != "" && output != "-" }

// checkNew is checkWritable for what someone will work on, which only force replaces.
func checkNew(flag, path, input string, force bool) error {
	if info, err := os.Lstat(path); err == nil && info.Mode().IsRegular() && !force {
		return wrong(flag, fmt.Sprintf("%q", path)+", which exists", "another name, or --force to replace it")
	}
	return checkPlace(flag, path, input)
}

// checkWritable refuses a path to which no file can be written, before a long
// computation is lost over it, and a scenario that is there: someone may have worked on it.
func checkWritable(flag, path, input string) error {
	err := checkPlace(flag, path, input)
	if here, missing := os.Lstat(path); err == nil && missing == nil && here.Mode().IsRegular() && filepath.Ext(path) == ".toml" {
		err = wrong(flag, fmt.Sprintf("%q", path)+", a scenario that exists", "another name")
	}
	return err
}

func checkPlace(flag, path, input string) error {
	read := fmt.Sprintf("%q", path)
	if here, err := os.Lstat(path); err == nil {
		switch {
		case here.IsDir():
			return wrong(flag, read+", a directory", "the name of a file")
		case here.Mode()&fs.ModeSymlink != 0:
			return wrong(flag, read+", a symbolic link", "the file it points to")
		case !here.Mode().IsRegular():
			return wrong(flag, read+", which is no ordinary file", "the name of a file")
		}
		if here.Mode().Perm()&0o222 == 0 {
			return wrong(flag, read+", which is read-only", "another name")
		}
		if scenario, err := os.Stat(input); err == nil && os.SameFile(here, scenario) {
			return wrong(flag, read+", the scenario itself", "another file")
		}
	}
	dir := filepath.Dir(path)
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return wrong(flag, read, "a file in a directory that exists, and "+dir+" is none")
	}
	probe, err := os.CreateTemp(dir, ".kneepoint-*")
	if err != nil {
		return wrong(flag, read, "a file in a directory that can be written to")
	}
	probe.Close()
	os.Remove(probe.Name())
	return nil
}

// unwritten says what could not be written; what was asked for and is not there is the
// input's fault.
func unwritten(what string, err error) error {
	if isInput(err) {
		return err
	}
	if err != nil {
		return fmt.Errorf("%s could not be written: %w", what, err)
	}
	return nil
}

// put writes to the file of -o, or to standard output.
func (c *console) put(output string, write func(io.Writer) error) error {
	if !toFile(output) {
		err := write(c.out)
		if errors.Is(err, syscall.EPIPE) {
			return nil // whoever reads has read enough
		}
		return unwritten("the result", err)
	}
	return unwritten("-o", c.writeFile(output, write))
}

// writeFile writes a file, whole; not if an interrupt comes while it does. What is there
// after an interrupt may still be begun.
func (c *console) writeFile(path string, write func(io.Writer) error) error {
	going := c.ctx.Err() == nil
	return report.WriteFile(path, func(w io.Writer) error {
		err := write(w)
		if err == nil && going {
			err = c.ctx.Err()
		}
		return err
	})
}

// write writes an answer about the scenario in the format asked for.
func (c *console) write(w io.Writer, ans answer.Answer, f *commonFlags, s *scenario.Scenario) error {
	return writeOn(w, ans, f, s.Hash(), s.Assumed, report.TextOptions{Above: warningLines(s), Command: commandsOn(s, f.sets)})
}

// screenWidth is the width for which first screens are set.
const screenWidth = 80

// warningLines counts the lines of a terminal that the scenario's warnings take.
func warningLines(s *scenario.Scenario) int {
	lines := 0
	for _, w := range warnings(s) {
		lines += len(report.Wrap(w, screenWidth))
	}
	return lines
}

// writePage is write for an answer that has what is assumed in its own words or tables.
func (c *console) writePage(w io.Writer, ans answer.Answer, f *commonFlags, s *scenario.Scenario) error {
	if f.format == "text" {
		return report.Text(w, ans, report.TextOptions{Units: f.textSystem(), Width: lineWidth(w), All: true})
	}
	return c.write(w, ans, f, s)
}

// writeOn writes an answer that rests on inputs with a hash, of which some were assumed:
// the main ones, or all.
func writeOn(w io.Writer, ans answer.Answer, f *commonFlags, hash string, assumed func(all bool) []scenario.Entry, opt report.TextOptions) error {
	switch f.format {
	case "json":
		return report.JSONOn(w, ans, basis(hash, assumed(true)))
	case "csv":
		return writeTable(w, ans, f)
	}
	opt.Units, opt.Width = f.textSystem(), lineWidth(w)
	// A file is kept, and has no screen to fit on.
	opt.All = f.all || f.verbose || toFile(f.output)
	opt.Assumed, opt.Unset = assumptions(assumed(f.verbose), opt.Units), len(assumed(true))
	if more := opt.Unset - len(opt.Assumed); more > 0 {
		opt.Assumed = append(opt.Assumed, report.Assumption{Key: fmt.Sprintf("and %d more", more), Note: "--verbose lists them"})
	}
	return report.Text(w, ans, opt)
}

// commandsOn prints commands for a scenario and what flags changed in it.
func commandsOn(s *scenario.Scenario, sets []string) func(answer.Command) string {
	return func(c answer.Command) string {
		args := []string{c.Verb}
		switch {
		case s.Name() == scenario.Stdin:
			args = append(args, "-")
		case !s.IsBuiltin():
			args = append(args, s.Name())
		}
		for _, set := range sets {
			if !slices.ContainsFunc(c.Args, func(arg string) bool { return setsTheSame(arg, set) }) {
				args = append(args, "--set", set)
			}
		}
		return commandLine(append(args, c.Args...))
	}
}

// setsTheSame reports whether two values of --set are of one key: of these the last holds.
func setsTheSame(a, b string) bool {
	key, _, sets := strings.Cut(a, "=")
	other, _, _ := strings.Cut(b, "=")
	return sets && strings.TrimSpace(key) == strings.TrimSpace(other)
}

// writeTable writes the table that --table names, or the first.
func writeTable(w io.Writer, ans answer.Answer, f *commonFlags) error {
	err := report.CSV(w, ans, f.dataSystem(), f.table)
	var none *report.NoTableError
	if errors.As(err, &none) && f.table != "" {
		return wrong("--table", fmt.Sprintf("%q", f.table), none.Choice())
	}
	return err
}

// basis is what an answer rests on, for JSON.
func basis(hash string, assumed []scenario.Entry) report.Basis {
	var list []report.AssumedValue
	for _, e := range assumed {
		a := report.AssumedValue{Key: e.Path, Value: e.Plain(), Unit: e.SIUnit(), Meaning: e.Doc, HowToMeasure: e.HowToMeasure, Estimate: e.Estimate}
		if e.Range != nil {
			a.Low, a.High = &e.Range.Low, &e.Range.High
		}
		list = append(list, a)
	}
	return report.NewBasis(hash, list)
}

// assumptions are values nobody gave, for a text.
func assumptions(assumed []scenario.Entry, units si.System) []report.Assumption {
	var list []report.Assumption
	for _, e := range assumed {
		list = append(list, report.Assumption{Key: e.Path, Value: e.Text(units), Note: assumedNote(e, units)})
	}
	return list
}

// assumedNote says how far an assumed value may be off and how to find it out; what it
// is, where that says nothing.
func assumedNote(e scenario.Entry, units si.System) string {
	note := e.Doc
	switch {
	case e.Range != nil && e.HalfWidth == 0:
		note = rangeText(e.Dim, *e.Range, units) + " (estimate); " + e.HowToMeasure
	case e.Estimate:
		note += " (estimate)"
	case e.Main && e.HowToMeasure != "":
		note = e.HowToMeasure
	}
	return note
}

// rangeText is "2.8 to 7" or "7 to 11 in".
func rangeText(dim si.Dimension, r scenario.Range, units si.System) string {
	low, high := si.FormatFine(dim, r.Low, units), si.FormatFine(dim, r.High, units)
	number, unit, _ := strings.Cut(low, " ")
	if strings.HasSuffix(high, " "+unit) {
		low = number
	}
	return low + " to " + high
}

// isTerminal reports whether someone is looking.
func isTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// isTerminalReader reports whether someone is typing.
func isTerminalReader(r io.Reader) bool {
	if i, ok := r.(interruptible); ok {
		r = i.r
	}
	f, ok := r.(*os.File)
	return ok && term.IsTerminal(int(f.Fd()))
}

// readTogether reports whether what goes to one of two outputs is read with what goes to
// the other: both are a terminal or one file, or the first goes through a pipe, as to a
// pager, while someone looks at the second.
func readTogether(first, second io.Writer) bool {
	a, okA := first.(*os.File)
	b, okB := second.(*os.File)
	if !okA || !okB {
		return false
	}
	if isTerminal(b) && isTerminal(a) {
		return true
	}
	infoA, errA := a.Stat()
	infoB, errB := b.Stat()
	if errA != nil || errB != nil {
		return false
	}
	return os.SameFile(infoA, infoB) || isTerminal(b) && infoA.Mode()&os.ModeNamedPipe != 0
}

// lineWidth is the terminal's width as far as lines stay easy to read, 0 for
// anything else.
func lineWidth(w io.Writer) int {
	const most = 100
	f, ok := w.(*os.File)
	if !ok || !isTerminal(w) {
		return 0
	}
	width, _, err := term.GetSize(int(f.Fd()))
	if err != nil {
		return 0
	}
	return min(width, most)
}
