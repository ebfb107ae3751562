package diagnose

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"kneepoint/internal/batch"
	"kneepoint/internal/workshop"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// An Interview finds the fault question by question. Its state is the text of a scenario,
// so that it can be left and taken up again: every answer is a line or an entry in it.
type Interview struct {
	name     string
	document string
	tools    []string
	s        *scenario.Scenario
	library  *Library
	// stale says that the engine's vacuum was read since the library was made.
	stale bool
	now   *Diagnosis
}

// NewInterview begins, or goes on, with the text of a scenario; name is what messages call
// it.
func NewInterview(name, document string) (*Interview, error) {
	s, err := scenario.Read(strings.NewReader(document), name)
	if err != nil {
		return nil, err
	}
	return &Interview{name: name, document: document, s: s}, nil
}

// SetTools restricts the tests to those that some tools are enough for, without writing it
// down.
func (v *Interview) SetTools(tools []string) error {
	s, err := v.s.With(scenario.KeyDiagnoseTools, strings.Join(tools, ","))
	if err == nil {
		v.tools, v.s = tools, s
	}
	return err
}

// Document is the scenario with all answers so far.
func (v *Interview) Document() string { return v.document }

// Scenario is what the document says.
func (v *Interview) Scenario() *scenario.Scenario { return v.s }

// Asked says what is asked for next: the complaint where it was not said yet, else a test;
// done is true where no test is worth its minutes.
func (v *Interview) Asked(ctx context.Context, u si.System, progress batch.Progress) (q Question, done bool, err error) {
	if v.s.Diagnose.Complaint == "" && len(v.s.Readings) == 0 {
		return complaintQuestion(), false, nil
	}
	if err := v.prepare(ctx); err != nil {
		return q, false, err
	}
	if v.now, err = v.library.weighAll(ctx, v.s.Readings, progress); err != nil {
		return q, false, err
	}
	if v.now.Next == nil || v.now.Settled {
		return q, true, nil
	}
	return questionOf(v.now.Next.trial, u), false, nil
}

// prepare sees to a library that knows all that was read.
func (v *Interview) prepare(ctx context.Context) (err error) {
	if v.library != nil && v.stale {
		v.library, err = v.library.reread(ctx, v.s, v.s.Readings)
	}
	if v.library == nil && err == nil {
		v.library, err = newFocused(ctx, v.s, v.s.Readings)
	}
	v.stale = false
	return err
}

// Diagnosis is the answer to all that was read so far.
func (v *Interview) Diagnosis(ctx context.Context, progress batch.Progress) (*Diagnosis, error) {
	if v.library == nil {
		return Diagnose(ctx, v.s, progress)
	}
	if err := v.prepare(ctx); err != nil {
		return nil, err
	}
	return v.library.diagnose(ctx, v.s.Readings, progress)
}

// Leading says in one line what is most likely so far; it is empty before the first test.
func (v *Interview) Leading() string {
	if v.now == nil || len(v.now.readings) == 0 {
		return ""
	}
	if v.now.nothingExplains() {
		return fmt.Sprintf("So far nothing in the list explains it (%s).", likelihood(v.now.Unexplained))
	}
	top := &v.now.Suspects[0]
	return fmt.Sprintf("So far: %s (%s).", top.words(), likelihood(top.Together))
}

// complaintKey is the key of the first question.
const complaintKey = "complaint"

func complaintQuestion() Question {
	q := Question{Text: "What is wrong with the brakes?", Key: complaintKey, Answers: []string{}, Entry: []string{"[diagnose]"}}
	for i, c := range workshop.ComplaintLines() {
		q.Answers = append(q.Answers, string(c.Complaint))
		q.Text += fmt.Sprintf("\n  %d  %-7s %s", i+1, c.Complaint, c.Words)
	}
	return q
}

// Answer puts an answer into the document. The error says what was read and what would be
// right; then nothing has changed.
func (v *Interview) Answer(q Question, text string) error {
	text = strings.TrimSpace(text)
	if q.Key == complaintKey {
		return v.become(q, withComplaint(v.document, complaintOf(text)))
	}
	entry := strings.TrimRight(v.document, "\n") + "\n\n" + strings.Join(q.Entry, "\n") + "\n"
	err := v.become(q, entry+q.line(text)+"\n")
	if err != nil && q.Unit != "" {
		// A range is said without its unit too.
		if v.become(q, entry+q.line(text+" "+q.Unit)+"\n") == nil {
			return nil
		}
	}
	return err
}

// become takes a document with another answer for its own.
func (v *Interview) become(q Question, next string) error {
	s, err := scenario.Read(strings.NewReader(next), v.name)
	if err == nil && len(v.tools) > 0 {
		s, err = s.With(scenario.KeyDiagnoseTools, strings.Join(v.tools, ","))
	}
	if err != nil {
		return err
	}
	if q.Key == complaintKey {
		v.library = nil
	} else if s.Readings[len(s.Readings)-1].Test == scenario.ManifoldVacuum {
		v.stale = true
	}
	v.document, v.s = next, s
	return nil
}

// line is the line of an answer: a bare number gets the unit that was asked for, and
// nothing is what a scenario calls [CantTell].
func (q Question) line(text string) string {
	switch strings.ToLower(text) {
	case "y":
		text = "yes"
	case "n":
		text = "no"
	case "":
		text = CantTell
	}
	if q.Unit != "" && strings.ContainsFunc(text, isDigit) && !strings.ContainsFunc(text, isLetter) {
		text += " " + q.Unit
	}
	if q.Key == "count" && !strings.ContainsFunc(text, func(r rune) bool { return !isDigit(r) }) {
		return q.Key + " = " + text
	}
	return fmt.Sprintf("%s = %q", q.Key, text)
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func isLetter(r rune) bool { return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' }

// complaintOf takes the number of a complaint for its word.
func complaintOf(text string) string {
	for i, c := range workshop.ComplaintLines() {
		if text == fmt.Sprint(i+1) {
			return string(c.Complaint)
		}
	}
	return strings.ToLower(text)
}

// withComplaint puts the complaint into [diagnose], at the end where there is none.
func withComplaint(document, complaint string) string {
	line := fmt.Sprintf("%s = %q", complaintKey, complaint)
	lines := strings.Split(strings.TrimRight(document, "\n"), "\n")
	if at := slices.IndexFunc(lines, func(l string) bool { return strings.TrimSpace(l) == "[diagnose]" }); at >= 0 {
		return strings.Join(slices.Insert(lines, at+1, line), "\n") + "\n"
	}
	return strings.TrimLeft(strings.Join(lines, "\n")+"\n\n[diagnose]\n"+line+"\n", "\n")
}
