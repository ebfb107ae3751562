package web

import (
	"context"
	"crypto/rand"
	"errors"
	"sync"
	"time"
)

// Bounds of what is kept for open pages.
const (
	mostDrives = 100
	idleDrive  = 5 * time.Minute
	sweepTime  = 20 * time.Second
)

var errFull = errors.New("too many pages are open; close one, or wait until an idle one expires")

// drives are the cars being driven, one for each open page.
type drives struct {
	mu   sync.Mutex
	open map[string]*kept
	now  func() time.Time
}

type kept struct {
	drive *drive
	seen  time.Time
}

func newDrives() *drives { return &drives{open: map[string]*kept{}, now: time.Now} }

// add keeps a drive and returns the name it goes by, which cannot be guessed.
func (d *drives) add(one *drive) (id string, err error) {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.expire()
	if len(d.open) >= mostDrives {
		return "", errFull
	}
	id = rand.Text()
	d.open[id] = &kept{one, d.now()}
	return id, nil
}

// full reports whether there is no room for another, before one is made.
func (d *drives) full() bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	d.expire()
	return len(d.open) >= mostDrives
}

// get returns the drive of the name and keeps it alive.
func (d *drives) get(id string) (*drive, bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	k, ok := d.open[id]
	if !ok || d.now().Sub(k.seen) > idleDrive {
		return nil, false
	}
	k.seen = d.now()
	return k.drive, true
}

func (d *drives) remove(id string) {
	d.mu.Lock()
	defer d.mu.Unlock()
	delete(d.open, id)
}

// expire drops what nobody has asked for in a while; the caller has the lock.
func (d *drives) expire() {
	for id, k := range d.open {
		if d.now().Sub(k.seen) > idleDrive {
			delete(d.open, id)
		}
	}
}

func (d *drives) sweepUntil(ctx context.Context) {
	tick := time.NewTicker(sweepTime)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			d.mu.Lock()
			d.expire()
			d.mu.Unlock()
		}
	}
}
