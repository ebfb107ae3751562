package licence

import (
	"encoding/json"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// linked lists the packages of modules by others that a build for any system of a
// release links, each with its folder, by module; and every module's folder.
func linked(t *testing.T) (packages map[string][]string, folders map[string]string) {
	t.Helper()
	found, err := listLinked()
	require.NoError(t, err)
	require.NotEmpty(t, found.folders)
	return found.packages, found.folders
}

type linkedPackages struct {
	packages map[string][]string
	folders  map[string]string
}

var listLinked = sync.OnceValues(func() (linkedPackages, error) {
	packages, folders := map[string][]string{}, map[string]string{}
	for _, system := range []string{"linux", "darwin", "windows"} {
		for _, machine := range []string{"amd64", "arm64"} {
			cmd := exec.Command("go", "list", "-deps", "-f", "{{with .Module}}{{.Path}}\t{{.Dir}}{{end}}\t{{.Dir}}", "kneepoint/cmd/kneepoint")
			cmd.Env = append(os.Environ(), "GOOS="+system, "GOARCH="+machine, "CGO_ENABLED=0")
			out, err := cmd.Output()
			if err != nil {
				return linkedPackages{}, err
			}
			for line := range strings.Lines(string(out)) {
				field := strings.Split(strings.TrimSpace(line), "\t")
				if len(field) != 3 || field[0] == "kneepoint" {
					continue // Go's library, or this program
				}
				folders[field[0]] = field[1]
				packages[field[0]] = append(packages[field[0]], field[2])
			}
		}
	}
	goroot, err := exec.Command("go", "env", "GOROOT").Output()
	folders[standardLibrary] = strings.TrimSpace(string(goroot))
	return linkedPackages{packages, folders}, err
})

// The table names what is linked, all of it, and nothing else.
func TestTableIsWhatIsLinked(t *testing.T) {
	t.Parallel()
	_, folders := linked(t)
	var named []string
	for _, p := range table {
		named = append(named, p.Module)
	}
	for module := range folders {
		assert.Contains(t, named, module, "linked, and of no known licence")
	}
	for _, module := range named {
		assert.Contains(t, folders, module, "named, and linked nowhere")
	}
}

// What a licence of each identifier says and no other one does.
var characteristic = map[string]string{
	"MIT":               `Permission is hereby granted, free of charge, to any person obtaining a copy`,
	"BSD-3-Clause":      `Redistribution and use in source and binary forms(.|\n)*Neither the name of|Redistribution and use in source and binary forms(.|\n)*without specific prior`,
	"BSD-2-Clause":      `Redistribution and use in source and binary forms`,
	"Apache-2.0":        `Apache License\s+Version 2\.0, January 2004`,
	"OFL-1.1":           `SIL OPEN FONT LICENSE Version 1\.1`,
	"CC-BY-4.0":         `Creative Commons Attribution 4\.0 International`,
	"FTL":               `The FreeType License(.|\n)*Portions of this software are copyright`,
	"BSL-1.0":           `Boost Software License - Version 1\.0`,
	"SunPro":            `Permission to use, copy, modify, and distribute this\s+software is freely granted, provided that this notice\s+is preserved`,
	"LicenseRef-Lucent": `in supporting documentation, and that the name of Lucent`,
}

// Each part's identifier and copyright lines are those of its files, or the copyright
// that of the linked sources where the licence names none.
func TestPartsAreAsTheirFilesSay(t *testing.T) {
	t.Parallel()
	packages, folders := linked(t)
	flat := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	for _, p := range table {
		text, err := p.Text(folders[p.Module])
		if !assert.NoError(t, err, p.Module) {
			continue
		}
		require.Contains(t, characteristic, p.SPDX)
		// A notice that ends one line and begins the next is set in a box of comment signs.
		plain := flat(strings.NewReplacer("*", " ", "//", " ").Replace(text))
		assert.Regexp(t, strings.ReplaceAll(characteristic[p.SPDX], `\s+`, ` `), plain, "%s %s", p.Module, p.Holds)
		if p.SPDX == "BSD-2-Clause" {
			assert.NotContains(t, plain, "Neither the name")
		}
		if p.SPDX == "FTL" || p.SPDX == "CC-BY-4.0" {
			continue // their lines are the credit that the licence wants
		}
		for _, line := range p.Copyright {
			if strings.Contains(flat(text), flat(line)) {
				continue
			}
			assert.True(t, slices.ContainsFunc(packages[p.Module], func(dir string) bool { return sourcesSay(t, dir, line) }),
				"%s: neither its licence nor its sources say %q", p.Module, line)
		}
	}
}

func sourcesSay(t *testing.T, dir, line string) bool {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	require.NoError(t, err)
	return slices.ContainsFunc(files, func(name string) bool {
		source, err := os.ReadFile(name)
		require.NoError(t, err)
		return strings.Contains(string(source), line)
	})
}

// No licence lies beside or above something linked without standing in the table.
func TestNoLicenceIsOverlooked(t *testing.T) {
	t.Parallel()
	packages, folders := linked(t)
	licence := regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents)`)
	for module, dirs := range packages {
		root := folders[module]
		var named []string
		for _, p := range table {
			if p.Module == module {
				named = append(named, p.Files...)
			}
		}
		require.NoError(t, filepath.WalkDir(root, func(name string, entry fs.DirEntry, err error) error {
			if err != nil || entry.IsDir() || !licence.MatchString(entry.Name()) || filepath.Ext(name) == ".go" {
				return err
			}
			beside := filepath.Dir(name)
			above := slices.ContainsFunc(dirs, func(dir string) bool {
				return dir == beside || strings.HasPrefix(dir, beside+string(filepath.Separator))
			})
			if within, err := filepath.Rel(root, name); err == nil && above {
				assert.Contains(t, named, filepath.ToSlash(within), module)
			}
			return nil
		}))
	}
}

func TestABuildOfUnknownPartsIsAnError(t *testing.T) {
	t.Parallel()
	var build debug.BuildInfo
	require.NoError(t, json.Unmarshal([]byte(`{"GoVersion": "go1.26.0", "Main": {"Path": "kneepoint", "Version": "v1.2.3"},
		"Deps": [{"Path": "github.com/spf13/cobra", "Version": "v1.0.0"}, {"Path": "example.org/nobody", "Version": "v1.0.0"}]}`), &build))
	parts, err := Inside(&build)
	require.EqualError(t, err, "no licence is known of example.org/nobody")
	require.Len(t, parts, 3)
	assert.Equal(t, "v1.2.3", parts[0].Version)
	assert.Equal(t, "v1.0.0", parts[2].Version)
}
