package cli

import (
	"errors"
	"math"
	"slices"
	"strings"
	"testing"
)

// FuzzFlags holds that no text of a flag with a grammar of its own makes its
// reader panic, that what is refused is refused in one line that names the flag,
// and that what is taken lies within the limits.
func FuzzFlags(f *testing.F) {
	for _, text := range []string{
		`source.vacuum=8 inHg..20 inHg/7`, `reservoir.volume=0 L..4 L/9`, `master.bore=7/8 in..1 1/8 in`,
		`source.vacuum=20 inHg..8 inHg`, `pedal.ratio=3..6/1`, `pedal.ratio=3..6/999999999999`, `=..`, `..`, "press[0].pedal=1 N..\xff",
		"10ms", "1m30s", "0.01 ms", "1e400 s", "-1s", "NaN s", "",
	} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		a, err := sweepAxis(text)
		refused(t, err, "--over")
		if err == nil && (len(a.Values) < 2 || !slices.IsSorted(a.Values) || math.IsInf(a.Values[len(a.Values)-1], 0)) {
			t.Fatalf("%q was taken as %v", text, a.Values)
		}
		every, err := sampleTime(text)
		refused(t, err, "--every")
		if err == nil && !(every >= shortestSample && !math.IsInf(float64(every), 0)) {
			t.Fatalf("%q was taken as %v", text, every)
		}
	})
}

func refused(t *testing.T, err error, flag string) {
	t.Helper()
	var wrong *inputError
	switch {
	case err == nil:
	case !errors.As(err, &wrong):
		t.Fatalf("%v is no error of input", err)
	case !strings.HasPrefix(err.Error(), flag):
		t.Fatalf("%v does not name %s", err, flag)
	case strings.ContainsAny(err.Error(), "\n\r"):
		t.Fatalf("%q is not one line", err)
	}
}
