package scenario

import (
	"errors"
	"io"
	"io/fs"
	"os"
)

// Builtin returns a typical car of which everything is assumed, changed by flags
// of the form path=value. Without flags it cannot fail; the error is an [*InputError].
func Builtin(flags ...string) (*Scenario, error) {
	in := newInput("built-in")
	in.builtin = true
	return finishInput(in, nil, flags)
}

// Read reads a scenario, at most 1 MiB, and applies flags of the form path=value.
// Messages call the document by the name; for standard input that is "stdin".
// The error is an [*InputError], or that of the reader.
func Read(r io.Reader, name string, flags ...string) (*Scenario, error) {
	data, err := io.ReadAll(io.LimitReader(r, maxDocument+1))
	if err != nil {
		return nil, err
	}
	data = plainText(data)
	in, problems := parseDocument(name, data)
	s, err := finishInput(in, problems, flags)
	if err != nil {
		return nil, err
	}
	if err := inputError(crossCheck(name, data)); err != nil {
		return nil, err
	}
	return s, nil
}

// Open reads the file of the path; "-" stands for stdin, and "" for the built-in car.
// The error is an [*InputError], also where the file cannot be read.
func Open(path string, stdin io.Reader, flags ...string) (*Scenario, error) {
	switch path {
	case "":
		return Builtin(flags...)
	case "-":
		return Read(stdin, Stdin, flags...)
	}
	s, err := readFile(path, flags)
	var failed *fs.PathError
	if errors.As(err, &failed) {
		return nil, inputError([]Problem{place{path, 1}.problem("file", failed.Err.Error(), "a scenario file that can be read, or - for standard input")})
	}
	return s, err
}

func readFile(path string, flags []string) (*Scenario, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return Read(f, path, flags...)
}

// finishInput puts the flags over a document and works the scenario out. All that
// is wrong is reported at once; after a slip in the TOML only what stands before it is known.
func finishInput(in *input, problems []Problem, flags []string) (*Scenario, error) {
	settings := make([]Setting, 0, len(flags))
	for _, flag := range flags {
		set, err := ParseSetting(flag)
		var wrong *InputError
		if errors.As(err, &wrong) {
			problems = append(problems, wrong.Problems...)
			continue
		}
		settings = append(settings, set)
	}
	if len(settings) > 0 {
		problems = append(problems, in.put(settings)...)
	}
	if len(problems) > 0 {
		return nil, inputError(append(problems, problemsOfPart(in)...))
	}
	s, err := resolve(in)
	if err != nil {
		return nil, err
	}
	if err := inputError(s.tooWide()); err != nil {
		return nil, err
	}
	return s, nil
}
