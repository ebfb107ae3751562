// Command release builds what is handed out, into a folder: for each system an archive
// with the program, its manual pages, completions and licences, and beside it a bill of
// materials; and the SHA-256 of every file. The same commit and compiler give the same
// bytes on any machine.
package main

import (
	"context"
	"debug/buildinfo"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"slices"
	"strings"
	"time"
)

var targets = []target{
	{"linux", "amd64"}, {"linux", "arm64"}, {"darwin", "amd64"}, {"darwin", "arm64"}, {"windows", "amd64"}, {"windows", "arm64"},
}

func main() {
	folder := flag.String("o", "dist", "the `FOLDER` to write to")
	only := flag.String("only", "", "build for one `SYSTEM-MACHINE` alone, as in linux-amd64")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := release(ctx, *folder, *only); err != nil {
		fmt.Fprintln(os.Stderr, "release:", err)
		os.Exit(1)
	}
}

func release(ctx context.Context, folder, only string) error {
	wanted := slices.DeleteFunc(slices.Clone(targets), func(t target) bool { return only != "" && t.String() != only })
	if len(wanted) == 0 {
		return fmt.Errorf("-only: read %q, want one of %v", only, targets)
	}
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return err
	}
	work, err := os.MkdirTemp("", "kneepoint-release-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	for _, t := range wanted {
		if err := releaseFor(ctx, t, folder, work); err != nil {
			return fmt.Errorf("%s: %w", t, err)
		}
	}
	return writeSums(folder)
}

// releaseFor writes the archive of one system, and its bill of materials.
func releaseFor(ctx context.Context, t target, folder, work string) error {
	program := filepath.Join(work, t.String(), t.program())
	if err := t.build(ctx, program); err != nil {
		return err
	}
	build, err := buildinfo.ReadFile(program)
	if err != nil {
		return err
	}
	made := commitTime(build)
	name := "kneepoint-" + version(build) + "-" + t.String()
	bill, err := billOfMaterials(build, t, made)
	if err != nil {
		return err
	}
	files, err := documents(ctx, build, made)
	if err != nil {
		return err
	}
	content, err := os.ReadFile(program)
	if err != nil {
		return err
	}
	files = append(files, file{name: t.program(), content: content, runs: true}, file{name: "kneepoint.cdx.json", content: bill})
	if err := os.WriteFile(filepath.Join(folder, name+".cdx.json"), bill, 0o666); err != nil {
		return err
	}
	archive := filepath.Join(folder, name+t.archive())
	if err := writeArchive(archive, name, files, made); err != nil {
		return err
	}
	fmt.Println(archive)
	return nil
}

// version is that of a tag, or what stands for the commit where there is none.
func version(build *debug.BuildInfo) string {
	v := strings.TrimPrefix(strings.Trim(build.Main.Version, "()"), "v")
	return strings.ReplaceAll(v, "+", "_") // the "+dirty" of a checkout with changes
}

// commitTime is the date of everything in a release. A build outside a checkout has the
// first that a zip archive can hold.
func commitTime(build *debug.BuildInfo) time.Time {
	for _, s := range build.Settings {
		if s.Key == "vcs.time" {
			if made, err := time.Parse(time.RFC3339, s.Value); err == nil {
				return made.UTC()
			}
		}
	}
	return time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)
}
