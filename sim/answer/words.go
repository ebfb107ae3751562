package answer

import "strings"

// Titled is what a picture shows, with the title of the scenario behind it if it has one.
func Titled(what, title string) string {
	if title == "" {
		return what
	}
	return what + ": " + title
}

// Key turns the path of a quantity, or the name of a fault, into the key of a column.
func Key(path string) string {
	return strings.NewReplacer(".", "_", "[", "_", "]", "_", "-", "_").Replace(path)
}
