// Package scenarios holds the starter scenarios: worked examples of an invented
// garage, to copy and change.
package scenarios

import (
	"bytes"
	"embed"
	"fmt"
	"strconv"
	"strings"
)

//go:embed *.toml
var files embed.FS

//go:embed *.csv
var logs embed.FS

// Names returns the names of the starters, in order: "big-cam-nine".
func Names() []string {
	entries, err := files.ReadDir(".")
	if err != nil {
		panic(err) // an embedded directory can always be read
	}
	names := make([]string, len(entries))
	for i, e := range entries {
		names[i] = strings.TrimSuffix(e.Name(), ".toml")
	}
	return names
}

// Read returns the document of a starter, as it stands in its file.
func Read(name string) ([]byte, error) {
	text, err := files.ReadFile(name + ".toml")
	if err != nil {
		return nil, fmt.Errorf("there is no starter scenario %q", name)
	}
	return text, nil
}

// Title returns a starter's title without reading the rest, which takes a page long where
// there are many; the empty text where it has none.
func Title(name string) string {
	text, err := Read(name)
	if err != nil {
		return ""
	}
	for line := range bytes.Lines(text) {
		quoted, ok := bytes.CutPrefix(line, []byte("title = "))
		if !ok {
			continue
		}
		title, err := strconv.Unquote(string(bytes.TrimSpace(quoted)))
		if err != nil {
			return ""
		}
		return title
	}
	return ""
}

// Log returns the gauge log of that name that goes with a starter: "gauge-log.csv".
func Log(name string) ([]byte, error) { return logs.ReadFile(name) }
