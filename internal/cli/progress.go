package cli

import (
	"fmt"
	"io"
	"strings"
	"sync"
	"time"
)

// Progress appears after a second, and then changes a few times a second.
const (
	quiet  = time.Second
	redraw = 200 * time.Millisecond
)

// progress is one line about a command that takes its time, redrawn in place. Its
// zero value shows nothing.
type progress struct {
	w    io.Writer
	now  func() time.Time
	name string

	mu          sync.Mutex
	began       time.Time
	done, total int
	drawn       int // how long the line is that stands there
	stop        chan struct{}
	stopped     sync.WaitGroup
}

func newProgress(name string, w io.Writer, now func() time.Time) *progress {
	return &progress{w: w, now: now, name: name, began: now()}
}

// watch shows the progress of a command, if someone is looking.
func (c *console) watch(name string) *progress {
	if !isTerminal(c.err) {
		return &progress{}
	}
	p := newProgress(name, c.err, time.Now)
	p.stop = make(chan struct{})
	p.stopped.Go(p.redraws)
	return p
}

// redraws draws until the end, since a study may tell nothing for long.
func (p *progress) redraws() {
	ticks := time.NewTicker(redraw)
	defer ticks.Stop()
	for {
		select {
		case <-ticks.C:
			p.draw()
		case <-p.stop:
			return
		}
	}
}

// tell is a batch.Progress.
func (p *progress) tell(done, total int) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.done, p.total = done, total
}

// draw brings the line up to date.
func (p *progress) draw() {
	p.mu.Lock()
	defer p.mu.Unlock()
	elapsed := p.now().Sub(p.began)
	if p.w == nil || elapsed < quiet {
		return
	}
	line := fmt.Sprintf("%s: %.0f s", p.name, elapsed.Truncate(time.Second).Seconds())
	if p.total > 1 {
		line += fmt.Sprintf(", %d of %d done", p.done, p.total)
	}
	p.put(line)
}

// put replaces the line that stands there.
func (p *progress) put(line string) {
	fmt.Fprint(p.w, "\r"+line+strings.Repeat(" ", max(p.drawn-len(line), 0)))
	p.drawn = len(line)
}

// end clears the line.
func (p *progress) end() {
	if p.stop != nil {
		close(p.stop)
		p.stopped.Wait()
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.drawn > 0 {
		p.put("")
		fmt.Fprint(p.w, "\r")
	}
}
