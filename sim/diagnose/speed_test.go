package diagnose

import (
	"testing"
	"time"
)

func TestWhere(t *testing.T) {
	s := garage(t, "hard-pedal")
	a := time.Now()
	l, err := NewLibrary(t.Context(), s, s.Readings, nil)
	if err != nil {
		t.Fatal(err)
	}
	b := time.Now()
	l.layPairs()
	c := time.Now()
	d, err := l.Diagnose(t.Context(), s.Readings)
	e := time.Now()
	t.Log("library", b.Sub(a), "pairs", c.Sub(b), "diagnose", e.Sub(c), d.Suspects[0].Fault)
	_, _ = l.Weigh(t.Context(), s.Readings)
	t.Log("weigh again", time.Since(e))
}
