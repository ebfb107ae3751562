//go:build ignore

// Lays out the reports of the module golang.org/x/vulndb as the database that
// govulncheck reads (https://go.dev/security/vuln/database), for where vuln.go.dev
// cannot be reached:
//
//	go run .ci/vulndb.go MODULE-FOLDER OUT-FOLDER
package main

import (
	"encoding/json"
	"log"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

type report struct {
	ID       string    `json:"id"`
	Modified time.Time `json:"modified"`
	Aliases  []string  `json:"aliases"`
	Affected []struct {
		Package struct {
			Name string `json:"name"`
		} `json:"package"`
	} `json:"affected"`
}

type vuln struct {
	ID       string    `json:"id"`
	Modified time.Time `json:"modified"`
	Aliases  []string  `json:"aliases,omitempty"`
}

type module struct {
	Path  string `json:"path"`
	Vulns []vuln `json:"vulns"`
}

func main() {
	log.SetFlags(0)
	if len(os.Args) != 3 {
		log.Fatal("usage: go run .ci/vulndb.go MODULE-FOLDER OUT-FOLDER")
	}
	files, err := filepath.Glob(filepath.Join(os.Args[1], "data", "osv", "*.json"))
	check(err)
	if len(files) == 0 {
		log.Fatalf("%s holds no reports", os.Args[1])
	}
	var vulns []vuln
	byPath := map[string]*module{}
	var newest time.Time
	for _, file := range files {
		data, err := os.ReadFile(file)
		check(err)
		var r report
		check(json.Unmarshal(data, &r))
		write(filepath.Join(os.Args[2], "ID", r.ID+".json"), data)
		vulns = append(vulns, vuln{r.ID, r.Modified, r.Aliases})
		if r.Modified.After(newest) {
			newest = r.Modified
		}
		for _, a := range r.Affected {
			m := byPath[a.Package.Name]
			if m == nil {
				m = &module{Path: a.Package.Name}
				byPath[m.Path] = m
			}
			if !slices.ContainsFunc(m.Vulns, func(v vuln) bool { return v.ID == r.ID }) {
				m.Vulns = append(m.Vulns, vuln{ID: r.ID, Modified: r.Modified})
			}
		}
	}
	modules := []*module{}
	for _, m := range byPath {
		modules = append(modules, m)
	}
	slices.SortFunc(modules, func(a, b *module) int { return strings.Compare(a.Path, b.Path) })
	index := map[string]any{"db": map[string]any{"modified": newest}, "modules": modules, "vulns": vulns}
	for name, v := range index {
		data, err := json.Marshal(v)
		check(err)
		write(filepath.Join(os.Args[2], "index", name+".json"), data)
	}
	log.Printf("%d reports on %d modules", len(vulns), len(modules))
}

func write(path string, data []byte) {
	check(os.MkdirAll(filepath.Dir(path), 0o777))
	check(os.WriteFile(path, data, 0o666))
}

func check(err error) {
	if err != nil {
		log.Fatal(err)
	}
}
