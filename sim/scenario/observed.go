package scenario

import (
	"math"
	"slices"
	"strings"

	"kneepoint/sim/si"
)

// What a workshop writes of a test is often no single figure: "3 or 4", "more than 30 s",
// "can't tell". Of a condition a range stands for its middle and a bound for itself.

// answerWant says what answer the test can have.
func (f TestForm) answerWant() string {
	if f.Yes != "" {
		return `"` + f.No + `", "` + f.Yes + `" or "can't tell"`
	}
	return `true, false or "can't tell"`
}

// cantTell reports whether a text says that nothing is known.
func cantTell(text string) bool {
	switch strings.ToLower(strings.NewReplacer("’", "'", "-", " ").Replace(strings.TrimSpace(text))) {
	case "can't tell", "cant tell", "cannot tell", "don't know", "dont know", "unknown", "?":
		return true
	}
	return false
}

// shownBy is a key as a test's gauge shows what it holds: of a reading a vacuum, or a pressure in
// a line.
func (k *key) shownBy(t Test) *key {
	if (k.path != KeyReadingValue && k.path != KeyReadingError) || !t.readsVacuum() {
		return k
	}
	own := *k
	own.dim = si.DimVacuum
	return &own
}

// observed puts the value of a reading's key into its field, where that is none that every
// key takes; ok is false where it is left to [key.decode].
func (r *resolver) observed(k *key, i int, v value) (ok bool, wrong *mismatch) {
	name, of := strings.CutPrefix(k.path, "reading.")
	if !of {
		return false, nil
	}
	reading := &r.s.Readings[i]
	form, known := r.testOf(i).Form()
	if !known {
		return false, nil
	}
	switch {
	case name == "error" && form.Dim != si.DimVacuum && form.Dim != si.DimPressure:
		own := *k
		own.dim, own.limited = form.Dim, false
		_, wrong := own.decode(&reading.Error, v)
		if wrong == nil && reading.Error < 0 {
			wrong = &mismatch{v.read(), "0 or more"}
		}
		return true, wrong
	case v.kind != textValue:
		return false, nil
	case name == "pedal" && slices.Contains([]string{"pressed", "released"}, strings.ToLower(v.text)):
		reading.Pedal = 0
		if strings.EqualFold(v.text, "pressed") {
			reading.Pedal = PressedPedal
		}
		return true, nil
	case name == form.Reads && cantTell(v.text):
		reading.CantTell = true
		return true, nil
	case name == "answer":
		return r.answered(reading, form, v)
	case name == form.Reads || slices.Contains(form.Conditions, name) || slices.Contains(form.Optional, name):
		return r.ranged(k, i, name == form.Reads, v)
	}
	return false, nil
}

func (r *resolver) answered(reading *Reading, form TestForm, v value) (ok bool, wrong *mismatch) {
	text := strings.TrimSpace(v.text)
	switch {
	case form.Yes != "" && strings.EqualFold(text, form.Yes):
		reading.Answer = true
		return true, nil
	case form.Yes != "" && strings.EqualFold(text, form.No):
		reading.Answer = false
		return true, nil
	}
	if _, plain := truth(v); plain {
		return false, nil
	}
	return true, &mismatch{v.read(), form.answerWant()}
}

// ranged takes a range or a bound. A text that is none is left to the error of one figure,
// unless it reads as one that is wrong in itself.
func (r *resolver) ranged(k *key, i int, outcome bool, v value) (ok bool, wrong *mismatch) {
	if _, _, err := si.ParseSpread(k.dim, v.text); err == nil {
		return false, nil
	}
	low, high, err := si.ParseRange(k.dim, v.text)
	if err != nil {
		return false, nil
	}
	middle := (low + high) / 2
	switch {
	case math.IsInf(high, 1):
		middle = low
	case math.IsInf(low, -1):
		middle = high
	}
	if k.path == KeyReadingCount {
		if low != math.Floor(low) || high != math.Floor(high) {
			return true, &mismatch{v.read(), "whole numbers of stops"}
		}
		low, high = strictly(v.text, low, high)
		middle = math.Floor(middle)
	}
	for _, end := range []float64{low, high} {
		if !math.IsInf(end, 0) && (end < k.from || end > k.to) {
			fine := func(v float64) string { return si.FormatFine(k.dim, v, si.SI) }
			return true, &mismatch{v.read(), fine(k.from) + " to " + fine(k.to)}
		}
	}
	if _, wrong := k.decode(k.at(r.s, i), value{kind: exactValue, exact: &exact{k.dim, middle}}); wrong != nil {
		return true, wrong
	}
	if outcome {
		r.s.Readings[i].Between = &Between{low, high}
	}
	return true, nil
}

// strictly takes more than 5 stops as 6 or more.
func strictly(text string, low, high float64) (float64, float64) {
	text = strings.ToLower(strings.TrimSpace(text))
	starts := func(words ...string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(text, w) }) && !strings.Contains(text, "=")
	}
	switch {
	case starts(">", "more than", "over", "above"):
		low++
	case starts("<", "less than", "fewer than", "under", "below"):
		high--
	}
	return low, high
}

// testOf is the test of a reading, wherever in the entry it stands.
func (r *resolver) testOf(i int) Test {
	path := elementKey("reading", i, "test")
	for n := len(r.in.settings) - 1; n >= 0; n-- {
		if r.in.settings[n].path == path {
			return Test(strings.Trim(r.in.settings[n].value.text, `"'`))
		}
	}
	return ""
}
