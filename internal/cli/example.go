package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"kneepoint/scenarios"
	"kneepoint/sim/scenario"
)

// open reads the scenario of a file, or of an example by its name where there is no such
// file, with the settings of the flags over it.
func (c *console) open(ctx context.Context, file string, f *commonFlags) (*scenario.Scenario, error) {
	s, err := c.read(file, f.sets)
	var known *scenario.InputError
	if err == nil || isInput(err) || errors.As(err, &known) || ctx.Err() != nil {
		return s, err
	}
	return nil, wrong("stdin:1: document", err.Error(), "a scenario")
}

func (c *console) read(file string, sets []string) (*scenario.Scenario, error) {
	if file == "" || file == "-" {
		return scenario.Open(file, c.in, sets...)
	}
	if _, err := os.Stat(file); !errors.Is(err, fs.ErrNotExist) {
		return scenario.Open(file, c.in, sets...)
	}
	text, err := scenarios.Read(file)
	if err != nil {
		return nil, noFile(file)
	}
	return scenario.Read(bytes.NewReader(text), file, sets...)
}

// noFile says that there is neither a file nor an example of the name.
func noFile(file string) error {
	const want = `a scenario file that can be read, - for standard input, or an example that "kneepoint new" lists`
	return wrong(fmt.Sprintf("%s:1: file", file), "no such file or directory", perhapsStarter(want, strings.TrimSuffix(filepath.Base(file), ".toml")))
}

// perhapsStarter names the starter scenario that was meant behind what would be right, if
// one is near.
func perhapsStarter(want, name string) string {
	if near := scenario.Nearest(name, scenarios.Names()); near != "" {
		want += ", perhaps " + near
	}
	return want
}
