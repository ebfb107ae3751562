package cli

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
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
			"alike":    agree,
			"within":   isWithin,
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
// PATH~VALUE wants a number, to six digits; PATH<VALUE and PATH>VALUE bound one.
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
		if path, bound, less := strings.Cut(arg, "<"); less {
			wantBound(ts, doc, args[0], path, bound, -1)
			continue
		}
		if path, bound, more := strings.Cut(arg, ">"); more {
			wantBound(ts, doc, args[0], path, bound, 1)
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

// wantBound wants a number on one side of a bound.
func wantBound(ts *testscript.TestScript, doc any, file, path, bound string, side float64) {
	limit, err := strconv.ParseFloat(bound, 64)
	ts.Check(err)
	got, _ := at(doc, strings.Split(path, "."))
	if n, ok := got.(float64); !ok || !((n-limit)*side > 0) {
		ts.Fatalf("%s: %s is %s, which is on the wrong side of %s", file, path, printed(got), bound)
	}
}

// alike SHARE FILE PATH FILE PATH wants the numbers at two places to differ by no more
// than a share of the second.
func agree(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 5 {
		ts.Fatalf("usage: alike SHARE FILE PATH FILE PATH")
	}
	within, err := strconv.ParseFloat(args[0], 64)
	ts.Check(err)
	var numbers [2]float64
	for i := range numbers {
		file, path := args[1+2*i], args[2+2*i]
		var doc any
		ts.Check(json.Unmarshal([]byte(ts.ReadFile(file)), &doc))
		got, _ := at(doc, strings.Split(path, "."))
		n, ok := got.(float64)
		if !ok {
			ts.Fatalf("%s: %s is %s, want a number", file, path, printed(got))
		}
		numbers[i] = n
	}
	if math.Abs(numbers[0]-numbers[1]) > within*math.Abs(numbers[1]) {
		ts.Fatalf("%s: %s is %g and %s: %s is %g", args[1], args[2], numbers[0], args[3], args[4], numbers[1])
	}
}

// within FILE PATH OTHER wants the value at a place of a file to be the whole of another.
func isWithin(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: within FILE PATH OTHER")
	}
	var doc, want any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &doc))
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[2])), &want))
	if got, _ := at(doc, strings.Split(args[1], ".")); !reflect.DeepEqual(got, want) {
		ts.Fatalf("%s: %s is not what %s holds", args[0], args[1], args[2])
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
