package ask

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Answers are what is known about a car: what a scenario says already, and over it the
// answers that were given.
type Answers struct {
	base  *scenario.Scenario
	given map[string]given
	// blank says that the base stands for none, and own are the paths that were set in it
	// all the same.
	blank bool
	own   []string
}

// given is the answer to a question; known is false where nobody knows.
type given struct {
	text    string
	entries []entry
	known   bool
	place   scenario.Problem // of which only File and Line are used
}

// New begins with a scenario, whose own values need no answer.
func New(base *scenario.Scenario) *Answers {
	return &Answers{base: base, given: map[string]given{}}
}

// Blank begins with nothing known but what flags of the form path=value set. The error is
// a [*scenario.InputError].
func Blank(flags ...string) (*Answers, error) {
	base, err := scenario.Read(strings.NewReader("[source]\nkind = \"engine\"\n"), "answers", flags...)
	if err != nil {
		return nil, err
	}
	a := New(base)
	a.blank = true
	for _, flag := range flags {
		path, _, _ := strings.Cut(flag, "=")
		a.own = append(a.own, strings.TrimSpace(path))
	}
	return a, nil
}

// known says that a key was set before any question was answered.
func (a *Answers) known(key string) bool {
	if a.blank {
		return slices.Contains(a.own, key)
	}
	return a.base.IsSet(key)
}

// Said returns what the scenario says to a question before it is answered, or nothing.
func (a *Answers) Said(q *Question) string {
	var said []string
	for _, key := range q.keys {
		if !a.known(key) {
			continue
		}
		for _, e := range a.base.Entries() {
			if e.Path == key {
				said = append(said, key+" = "+e.Text(si.US))
			}
		}
	}
	return strings.Join(said, ", ")
}

// Put answers a question. The error is a [*Slip], and leaves the question as it was.
func (a *Answers) Put(name, text string) error {
	return a.put(name, text, scenario.Problem{})
}

func (a *Answers) put(name, text string, place scenario.Problem) error {
	q, ok := named(name)
	if !ok {
		return slip(name, "a question, "+nearest(name))
	}
	text = unquoted(text)
	if isDontKnow(text) {
		a.given[q.Name] = given{text: DontKnow, place: place}
		return nil
	}
	entries, err := q.read(text)
	if err != nil {
		return err
	}
	if err := a.possible(entries, text); err != nil {
		return err
	}
	a.given[q.Name] = given{text: text, entries: entries, known: true, place: place}
	return nil
}

// possible holds the entries of an answer against the limits of the model.
func (a *Answers) possible(entries []entry, text string) error {
	var set []scenario.Setting
	for _, e := range entries {
		if scenario.Known(e.path) && e.value != "" {
			set = append(set, e.setting())
		}
	}
	if len(set) == 0 {
		return nil
	}
	if _, err := a.base.Edit(set); err != nil {
		return limitOf(err, text)
	}
	return nil
}

// limitOf says in the answer's own words which limit of the model it passes.
func limitOf(err error, text string) error {
	var input *scenario.InputError
	if errors.As(err, &input) && len(input.Problems) > 0 {
		return slip(text, input.Problems[0].Want)
	}
	return slip(text, err.Error())
}

func unquoted(text string) string {
	text = strings.TrimSpace(strings.NewReplacer("’", "'", "‘", "'").Replace(text))
	if len(text) >= 2 && text[0] == text[len(text)-1] && (text[0] == '"' || text[0] == '\'') {
		return strings.TrimSpace(text[1 : len(text)-1])
	}
	return text
}

var dontKnow = []string{
	"", "?", "-", "don't know", "dont know", "do not know", "don't no", "not known", "unknown", "no idea", "not sure",
	"can't tell", "cannot tell", "dunno", "idk", "n/a", "na", "whatever the firewall gave", "whatever", "stock", "original",
}

func isDontKnow(text string) bool {
	text = strings.Trim(strings.ToLower(text), ".! ")
	return slices.Contains(dontKnow, text) || strings.HasPrefix(text, "don't know") || strings.HasPrefix(text, "no idea") || strings.HasPrefix(text, "not sure")
}

// nearest names the question that is written most like a name, or lists all.
func nearest(name string) string {
	name = plainName(name)
	var names, known []string
	for i := range questions {
		names = append(names, questions[i].Name)
	}
	known = append(known, names...)
	for other := range alsoCalled {
		known = append(known, other)
	}
	slices.Sort(known[len(names):])
	if near := scenario.Nearest(name, known); near != "" {
		if q, ok := named(near); ok {
			return fmt.Sprintf("perhaps %q", q.Name)
		}
	}
	return "one of " + strings.Join(names, ", ")
}

// mostAnswers is the largest file of answers that is read.
const mostAnswers = 1 << 16

// Read takes a file of answers, one "question = answer" a line; empty lines and those
// that begin with # are left out, and a question that is not there is not known. The
// error is a [*scenario.InputError] with all that is wrong, or that of the reader.
func (a *Answers) Read(r io.Reader, name string) error {
	wrong := &scenario.InputError{}
	fail := func(line int, key, read, want string) {
		wrong.Problems = append(wrong.Problems, scenario.Problem{File: name, Line: line, Key: key, Read: read, Want: want})
	}
	lines := bufio.NewScanner(io.LimitReader(r, mostAnswers))
	seen := map[string]int{}
	n, any := 0, false
	for lines.Scan() {
		n++
		text := strings.TrimSpace(strings.TrimPrefix(lines.Text(), "\ufeff"))
		if text == "" || strings.HasPrefix(text, "#") {
			continue
		}
		any = true
		if !strings.ContainsAny(text, "=:") || strings.HasPrefix(text, "[") {
			fail(n, "answer", strconv.Quote(shortened(text)), `one "question = answer" a line, e.g. "vacuum in gear = 11 inHg"`)
			continue
		}
		key, value := cutAnswer(text)
		q, ok := named(key)
		if !ok {
			fail(n, shortened(key), "an unknown question", nearest(key))
			continue
		}
		if before := seen[q.Name]; before > 0 {
			fail(n, q.Name, strconv.Quote(shortened(value))+" again", fmt.Sprintf("each question once; the first is in line %d", before))
			continue
		}
		seen[q.Name] = n
		var s *Slip
		if err := a.put(q.Name, value, scenario.Problem{File: name, Line: n}); errors.As(err, &s) {
			fail(n, q.Name, s.Read, s.Want)
		}
	}
	if err := lines.Err(); err != nil && !errors.Is(err, bufio.ErrTooLong) {
		return err
	} else if err != nil {
		fail(n+1, "answer", "a line of more than 64 KiB", `one "question = answer" a line`)
	}
	if !any {
		fail(1, "answers", "nothing", fmt.Sprintf(`at least one line such as "vacuum in gear = 11 inHg"; the questions are %s`, nearest("")))
	}
	if len(wrong.Problems) > 0 {
		return wrong
	}
	return nil
}

// cutAnswer cuts at the equals sign, or where there is none at the first colon.
func cutAnswer(text string) (name, value string) {
	name, value, ok := strings.Cut(text, "=")
	if !ok {
		name, value, _ = strings.Cut(text, ":")
	}
	value, _, _ = strings.Cut(value, " #")
	return strings.TrimSpace(name), strings.TrimSpace(value)
}
