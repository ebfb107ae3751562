package si

import "strconv"

// ParseError says why a text is not the quantity that was wanted.
type ParseError struct {
	Text   string    // what was read
	Dim    Dimension // what it was read as
	Reason string    // what is wrong, as a predicate: "has no unit"
	Want   string    // what would be right, with an example
}

// Error returns one line: the text, what is wrong with it, what would be right.
func (e *ParseError) Error() string {
	return quote(e.Text) + " " + e.Reason + "; want " + e.Want
}

// quote keeps an error message to one line, however long the text.
func quote(text string) string {
	const most = 60
	if r := []rune(text); len(r) > most {
		text = string(r[:most]) + "…"
	}
	return strconv.Quote(text)
}
