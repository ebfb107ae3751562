package report

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"
)

// A Program says which build of the program wrote something.
type Program struct {
	// Version is the module's, "devel" for one built in a checkout.
	Version string `json:"version"`
	// Commit is empty where the build does not know it, and Changed says that files
	// differed from it.
	Commit  string `json:"commit"`
	Changed bool   `json:"changed"`
	Go      string `json:"go"`
	System  string `json:"system"`
}

// ThisProgram reads what the compiler noted. It is worked out when asked for, and
// not when the program starts.
func ThisProgram() Program {
	p := Program{Version: "devel", Go: runtime.Version(), System: runtime.GOOS + "/" + runtime.GOARCH}
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return p
	}
	if v := info.Main.Version; v != "" && v != "(devel)" {
		p.Version = v
	}
	for _, s := range info.Settings {
		switch s.Key {
		case "vcs.revision":
			p.Commit = s.Value
		case "vcs.modified":
			p.Changed = s.Value == "true"
		}
	}
	return p
}

// String is one line: the version, the commit and the compiler.
func (p Program) String() string {
	commit := "commit unknown"
	if p.Commit != "" {
		commit = "commit " + p.Commit[:min(12, len(p.Commit))]
	}
	if p.Changed {
		commit += " with changes"
	}
	return fmt.Sprintf("kneepoint %s, %s, %s on %s", strings.TrimPrefix(p.Version, "v"), commit, p.Go, p.System)
}
