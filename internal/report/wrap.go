package report

import (
	"strings"
	"unicode/utf8"
)

func width(s string) int { return utf8.RuneCountInString(s) }

// Wrap breaks s at spaces into lines of at most limit characters; a word that is
// longer stays whole.
func Wrap(s string, limit int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		switch {
		case line == "":
			line = word
		case width(line)+1+width(word) <= limit:
			line += " " + word
		default:
			lines, line = append(lines, line), word
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

func padRight(s string, n int) string { return s + strings.Repeat(" ", max(n-width(s), 0)) }
func padLeft(s string, n int) string  { return strings.Repeat(" ", max(n-width(s), 0)) + s }
