package scenario

import (
	"fmt"
	"strconv"
	"strings"
)

// valueKind is the form of a value, before it is known what it is for.
type valueKind uint8

const (
	textValue valueKind = iota
	numberValue
	boolValue
	listValue
	otherValue // a date, a table inside a list
	exactValue // a number that a program gave
)

// value is a TOML value, or the bare text of a flag.
type value struct {
	kind valueKind
	// text is a text's content, and of all others but lists what was written.
	text  string
	items []value
	exact *exact
	// bare says that a flag gave it without quotes.
	bare bool
}

// read returns the value as a message shows it.
func (v value) read() string {
	switch v.kind {
	case textValue:
		return strconv.Quote(shorten(v.text))
	case listValue:
		if len(v.items) == 0 {
			return "an empty list"
		}
		return fmt.Sprintf("a list of %d", len(v.items))
	case numberValue, boolValue:
		return shorten(v.text)
	case exactValue:
		return v.exact.toml()
	default:
		return v.text
	}
}

// toml returns the value as a document has it, on one line.
func (v value) toml() string {
	switch v.kind {
	case textValue:
		return tomlText(v.text)
	case listValue:
		items := make([]string, len(v.items))
		for i, item := range v.items {
			items[i] = item.toml()
		}
		return "[" + strings.Join(items, ", ") + "]"
	case exactValue:
		return v.exact.toml()
	default:
		return v.text
	}
}

// tomlText returns text as a basic string of TOML.
func tomlText(text string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&b, `\u%04X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// shorten keeps a message to one line.
func shorten(text string) string {
	const most = 60
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "…"
	}
	return text
}

// hasTolerance reports whether a half width was written, be it zero.
func (v value) hasTolerance() bool {
	return v.kind == textValue && (strings.Contains(v.text, "±") || strings.Contains(v.text, "+/-"))
}
