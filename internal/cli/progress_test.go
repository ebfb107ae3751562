package cli

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// clock is a time that passes only when told.
type clock struct{ t time.Time }

func (c *clock) now() time.Time       { return c.t }
func (c *clock) pass(d time.Duration) { c.t = c.t.Add(d) }

// shown is what a terminal shows of a text in which returns go to the line's start.
func shown(text string) string {
	var line []byte
	at := 0
	for _, b := range []byte(text) {
		switch {
		case b == '\r':
			at = 0
			continue
		case at < len(line):
			line[at] = b
		default:
			line = append(line, b)
		}
		at++
	}
	return strings.TrimRight(string(line), " ")
}

func TestProgressWaitsASecond(t *testing.T) {
	t.Parallel()
	var w bytes.Buffer
	c := &clock{}
	p := newProgress("reserve", &w, c.now)
	p.tell(1, 10)
	c.pass(quiet - time.Millisecond)
	p.draw()
	p.end()
	assert.Empty(t, w.String(), "a short command shows nothing at all")
}

func TestProgressIsOneLineRedrawnAndCleared(t *testing.T) {
	t.Parallel()
	var w bytes.Buffer
	c := &clock{}
	p := newProgress("reserve", &w, c.now)
	c.pass(1500 * time.Millisecond)
	p.draw()
	assert.Equal(t, "reserve: 1 s", shown(w.String()), "before anything is told")
	p.tell(10, 10)
	c.pass(10 * time.Second)
	p.draw()
	assert.Equal(t, "reserve: 11 s, 10 of 10 done", shown(w.String()))
	p.tell(9, 9)
	p.draw()
	assert.Equal(t, "reserve: 11 s, 9 of 9 done", shown(w.String()), "a shorter line leaves nothing of a longer one")
	p.end()
	assert.Empty(t, shown(w.String()))
	assert.True(t, strings.HasSuffix(w.String(), "\r"), "the next line starts where this one did")
	assert.NotContains(t, w.String(), "\n")
}

func TestProgressOfOneStepCountsNothing(t *testing.T) {
	t.Parallel()
	var w bytes.Buffer
	c := &clock{}
	p := newProgress("run", &w, c.now)
	p.tell(0, 1)
	c.pass(2 * time.Second)
	p.draw()
	assert.Equal(t, "run: 2 s", shown(w.String()))
}

// Nobody looks at a buffer.
func TestNoProgressAwayFromATerminal(t *testing.T) {
	t.Parallel()
	var w bytes.Buffer
	p := (&console{err: &w}).watch("run")
	p.tell(1, 2)
	p.began = time.Time{}
	p.end()
	assert.Nil(t, p.w)
	assert.Empty(t, w.String())
}
