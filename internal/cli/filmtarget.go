//go:build !js

package cli

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"kneepoint/internal/film"
	"kneepoint/internal/pattern"
	"kneepoint/internal/report"
)

// A target is where a film goes.
type target struct {
	kind targetKind
	// path is the GIF's, or the folder's.
	path string
	// pattern names the pictures of a folder by their number.
	pattern string
}

type targetKind int

const (
	gifFile targetKind = iota
	gifStream
	pictures
)

const usualPattern = "%04d.png"

// wanted is what -o may be.
const wanted = "a name that ends in .gif, or for single pictures a folder such as frames/ or frames/%04d.png"

var (
	numbered = pattern.Lazy(`^[^%]*%(0[1-9])?d[^%]*\.png$`)
	pictured = pattern.Lazy(`(?i)\.png$`)
)

// targetOf reads -o and refuses what cannot be written to; input is the scenario's file.
func targetOf(output, input string) (target, error) {
	dir, name := filepath.Split(output)
	switch {
	case output == "":
		return target{}, wrong("-o", "nothing", wanted)
	case output == "-":
		return target{kind: gifStream, path: output}, nil
	case strings.EqualFold(filepath.Ext(name), ".gif"):
		return target{kind: gifFile, path: output}, checkWritable("-o", output, input)
	case name == "" || isFolder(output):
		return folderTarget(output, output, usualPattern)
	case numbered().MatchString(name):
		return folderTarget(output, dir, name)
	case pictured().MatchString(name):
		return target{kind: pictures}, wrong("-o", fmt.Sprintf("%q", output), "a folder for the pictures, such as frames/ or frames/%04d.png")
	}
	return target{}, wrong("-o", fmt.Sprintf("%q", output), wanted)
}

func isFolder(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

// folderTarget checks a folder: a new one, an empty one, or one of an earlier film.
func folderTarget(output, dir, pattern string) (target, error) {
	to := target{kind: pictures, path: filepath.Clean(dir), pattern: pattern}
	read := fmt.Sprintf("%q", output)
	here, err := os.Getwd()
	if absolute, wrongPath := filepath.Abs(to.path); err != nil || wrongPath != nil || inside(here, absolute) {
		return to, wrong("-o", read, "a folder of its own for the pictures, such as frames/ or frames/%04d.png")
	}
	if _, err := report.ReplaceableFolder(to.path, film.IsFrame); err != nil {
		return to, wrong("-o", fmt.Sprintf("%s (%v)", read, err), "a new folder, an empty one, or one of an earlier film's pictures")
	}
	above := filepath.Dir(to.path)
	if !isFolder(above) {
		return to, wrong("-o", read, "a folder within one that exists, and "+above+" does not")
	}
	probe, err := os.MkdirTemp(above, ".kneepoint-*")
	if err != nil {
		return to, wrong("-o", read, "a folder within one that can be written to")
	}
	return to, os.Remove(probe)
}

// inside reports whether a path is a folder or lies below it: such a folder cannot be
// replaced from here.
func inside(path, folder string) bool {
	between, err := filepath.Rel(folder, path)
	return err == nil && between != ".." && !strings.HasPrefix(between, ".."+string(filepath.Separator))
}
