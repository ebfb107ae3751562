package answer

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Acts reports whether a character does something to what shows it instead of being
// shown: it moves a terminal's cursor, ends a text, or turns the order of what follows.
// A line feed and a tab do not count.
func Acts(r rune) bool {
	switch {
	case r == '\n' || r == '\t':
		return false
	case unicode.Is(unicode.Cc, r), r == '\u2028', r == '\u2029', r == '\ufeff':
		return true
	}
	return unicode.Is(unicode.Bidi_Control, r)
}

// Inert shows text from outside (a title, a file's name, a column's) as text that cannot
// act: such a character is written as \u and its four digits, which in JSON is still that
// character. Broken UTF-8 becomes U+FFFD. A text that has neither is returned as it is.
func Inert(text string) string {
	if strings.IndexFunc(text, Acts) < 0 && utf8.ValidString(text) {
		return text
	}
	var b strings.Builder
	for _, r := range text {
		if Acts(r) {
			fmt.Fprintf(&b, `\u%04x`, r)
			continue
		}
		b.WriteRune(r)
	}
	return b.String()
}
