package study

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// forEach calls do for 0 to n-1 on all cores and waits. The first error, or the
// end of the context, stops what has not begun; done says which calls came to
// their end without an error. Results belong in a slice by index, so that they
// do not depend on which core was faster.
func forEach(ctx context.Context, n int, w Watch, do func(ctx context.Context, i int) error) (done []bool, err error) {
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
				w.tell(int(finished.Add(1)), n)
				telling.Unlock()
			}
		})
	}
	group.Wait()
	return done, context.Cause(ctx)
}
