package report

import (
	"io"

	"kneepoint/internal/pattern"
	"kneepoint/sim/answer"
)

// writeInert writes a whole text, of which nothing can act on what shows it.
func writeInert(w io.Writer, text string) error {
	_, err := io.WriteString(w, answer.Inert(text))
	return err
}

// What a spreadsheet takes for a formula, and what begins like one and cannot act: a
// quantity, and a flag's bare name, which says where a value is from and which scripts
// look for as it is typed.
var (
	formula  = pattern.Lazy(`^[=+\-@\t\r]`)
	quantity = pattern.Lazy(`^[+-]?[0-9.]+(e[+-]?[0-9]+)?( [^ =+@(|!]+)?$`)
	flagName = pattern.Lazy(`^--[a-z]+(-[a-z]+)*$`)
)

// noFormula has a text of a table begin with an apostrophe where a spreadsheet would
// work it out.
func noFormula(text string) string {
	if !formula().MatchString(text) || quantity().MatchString(text) || flagName().MatchString(text) {
		return text
	}
	return "'" + text
}
