// Package batch runs many simulations at once: on all cores, with a word on how far it
// is, and to the end of a context or the first error.
package batch

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// A Progress is told how much of some work is done, out of how much. A nil one is not
// told.
type Progress func(done, total int)

// Tell passes on how much is done, if someone listens.
func (p Progress) Tell(done, total int) {
	if p != nil {
		p(done, total)
	}
}

// ForEach calls do for 0 to n-1 on all cores and waits. The first error, or the
// end of the context, stops what has not begun; done says which calls came to
// their end without an error. Results belong in a slice by index, so that they
// do not depend on which core was faster.
func ForEach(ctx context.Context, n int, progress Progress, do func(ctx context.Context, i int) error) (done []bool, err error) {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	done = make([]bool, n)
	var next, finished atomic.Int64
	var group sync.WaitGroup
	var telling sync.Mutex
	for range min(runtime.GOMAXPROCS(0), n) {
		group.Go(func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				if err := do(ctx, i); err != nil {
					cancel(err)
					return
				}
				done[i] = true
				telling.Lock()
				progress.Tell(int(finished.Add(1)), n)
				telling.Unlock()
			}
		})
	}
	group.Wait()
	return done, context.Cause(ctx)
}
