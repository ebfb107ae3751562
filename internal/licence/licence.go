// Package licence knows what others wrote of the program, and under which licence: the
// modules that a build links, and the fonts in them.
package licence

import (
	"fmt"
	"io"
	"runtime/debug"
	"strings"
)

// A Part is something inside the program with one licence. A module may have several.
type Part struct {
	// Module is the path of the module that brings it, and Version is empty in the table.
	Module, Version string
	// Holds says what of the module it is, empty for all that is said nothing else of.
	Holds string
	// SPDX is the licence's identifier in the SPDX list of licences, and one that begins
	// with LicenseRef- that of a licence that the list has not.
	SPDX string
	// Copyright are the lines that the licence wants to be kept.
	Copyright []string
	// Files hold the licence's text, by their names within the module.
	Files []string
}

// Inside returns the parts of a build, this program first and then by module. A module
// of which no licence is known is an error, since it must not be passed on.
func Inside(build *debug.BuildInfo) ([]Part, error) {
	self := ours
	self.Module = build.Main.Path
	self.Version = strings.Trim(build.Main.Version, "()") // "(devel)" in a checkout
	parts := append([]Part{self}, of(standardLibrary, build.GoVersion)...)
	var unknown []string
	for _, module := range build.Deps {
		version := module.Version
		if module.Replace != nil {
			version = module.Replace.Version
		}
		known := of(module.Path, version)
		if len(known) == 0 {
			unknown = append(unknown, module.Path)
		}
		parts = append(parts, known...)
	}
	if len(unknown) > 0 {
		return parts, fmt.Errorf("no licence is known of %s", strings.Join(unknown, ", "))
	}
	return parts, nil
}

// of returns a module's parts.
func of(module, version string) []Part {
	var parts []Part
	for _, p := range table {
		if p.Module == module {
			p.Version = version
			parts = append(parts, p)
		}
	}
	return parts
}

// Write lists the parts, with their copyright lines.
func Write(w io.Writer, parts []Part) error {
	var text strings.Builder
	for i, p := range parts {
		if i > 0 {
			text.WriteByte('\n')
		}
		name := strings.TrimSpace(p.Module + " " + p.Version)
		if p.Module == standardLibrary {
			name = p.Version
		}
		if p.Holds != "" {
			name += ", " + p.Holds
		}
		fmt.Fprintf(&text, "%s: %s\n", name, p.SPDX)
		for _, line := range p.Copyright {
			fmt.Fprintf(&text, "  %s\n", line)
		}
	}
	_, err := io.WriteString(w, text.String())
	return err
}
