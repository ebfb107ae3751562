package cli

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"kneepoint/scenarios"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"kneepoint": func() { os.Exit(Process()) },
	})
}

// The scripts type commands as a person would.
func TestScripts(t *testing.T) {
	t.Parallel()
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("..", "..", "testdata", "script"),
		RequireExplicitExec: true,
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"status":   status,
			"starters": everyStarter,
			"json":     checkJSON,
			"starts":   starts,
			"clean":    clean,
		},
	})
}

// status N COMMAND... runs a command and wants its exit status.
func status(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: status N command [args...]")
	}
	got := 0
	err := ts.Exec(args[1], args[2:]...)
	var failed *exec.ExitError
	if errors.As(err, &failed) {
		got = failed.ExitCode()
	} else if err != nil {
		ts.Fatalf("%v", err)
	}
	if strconv.Itoa(got) != args[0] {
		ts.Fatalf("exit status %d, want %s\n%s%s", got, args[0], ts.ReadFile("stdout"), ts.ReadFile("stderr"))
	}
}

// starters VERB [FLAGS...] runs the verb for every starter scenario.
func everyStarter(ts *testscript.TestScript, _ bool, args []string) {
	for _, name := range scenarios.Names() {
		text, err := scenarios.Read(name)
		ts.Check(err)
		file := name + ".toml"
		ts.Check(os.WriteFile(ts.MkAbs(file), text, 0o666))
		ts.Check(ts.Exec("kneepoint", append([]string{args[0], file, "--format", "json"}, args[1:]...)...))
		if !json.Valid([]byte(ts.ReadFile("stdout"))) {
			ts.Fatalf("%s %s: no valid JSON", args[0], file)
		}
		for line := range strings.Lines(ts.ReadFile("stderr")) {
			if !strings.HasSuffix(line, "(warning)\n") {
				ts.Fatalf("%s %s: on standard error: %s", args[0], file, line)
			}
		}
	}
}

// json FILE [PATH[=VALUE]...] wants valid JSON with a value at each path; keys and
// indices of a path are joined by dots. Without a value any but null will do.
// PATH~VALUE wants a number, to six digits.
func checkJSON(ts *testscript.TestScript, neg bool, args []string) {
	var doc any
	if err := json.Unmarshal([]byte(ts.ReadFile(args[0])), &doc); err != nil {
		ts.Fatalf("%s: %v", args[0], err)
	}
	for _, arg := range args[1:] {
		if path, want, near := strings.Cut(arg, "~"); near {
			got, _ := at(doc, strings.Split(path, "."))
			wanted, err := strconv.ParseFloat(want, 64)
			ts.Check(err)
			if n, ok := got.(float64); !ok || math.Abs(n-wanted) > 1e-6*math.Abs(wanted) {
				ts.Fatalf("%s: %s is %s, want about %s", args[0], path, printed(got), want)
			}
			continue
		}
		path, want, hasWant := strings.Cut(arg, "=")
		got, found := at(doc, strings.Split(path, "."))
		switch {
		case neg && found:
			ts.Fatalf("%s: there is a %s", args[0], path)
		case neg:
		case !found:
			ts.Fatalf("%s: no %s", args[0], path)
		case hasWant && printed(got) != want:
			ts.Fatalf("%s: %s is %s, want %s", args[0], path, printed(got), want)
		case !hasWant && got == nil:
			ts.Fatalf("%s: %s is null", args[0], path)
		}
	}
}

func at(doc any, path []string) (value any, found bool) {
	if len(path) == 0 {
		return doc, true
	}
	switch v := doc.(type) {
	case map[string]any:
		next, ok := v[path[0]]
		if !ok {
			return nil, false
		}
		return at(next, path[1:])
	case []any:
		i, err := strconv.Atoi(path[0])
		if err != nil || i >= len(v) {
			return nil, false
		}
		return at(v[i], path[1:])
	}
	return nil, false
}

func printed(v any) string {
	if s, ok := v.(string); ok {
		return s
	}
	text, err := json.Marshal(v)
	if err != nil {
		return err.Error()
	}
	return string(text)
}

// starts FILE TEXT wants the first bytes of a file, written as in a Go string.
func starts(ts *testscript.TestScript, _ bool, args []string) {
	want, err := strconv.Unquote(`"` + args[1] + `"`)
	ts.Check(err)
	if !strings.HasPrefix(ts.ReadFile(args[0]), want) {
		ts.Fatalf("%s does not start with %q", args[0], want)
	}
}

// clean wants no hidden file in the directory.
func clean(ts *testscript.TestScript, _ bool, _ []string) {
	entries, err := os.ReadDir(ts.MkAbs("."))
	ts.Check(err)
	for _, e := range entries {
		// The directory for temporary files is testscript's own.
		if strings.HasPrefix(e.Name(), ".") && e.Name() != ".tmp" {
			ts.Fatalf("%s was left over", e.Name())
		}
	}
}
