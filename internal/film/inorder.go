package film

import (
	"context"
	"runtime"
	"sync"
)

// inOrder prepares n things one after the other, works on them on all cores at once, and
// takes the results in their order. newWorker is called once for each core. prepare and
// take run beside each other, each in one goroutine; all have ended on return.
func inOrder[A, B any](ctx context.Context, n int, newWorker func() func(A) (B, error),
	prepare func(i int) (A, error), take func(i int, b B) error) error {
	ctx, cancel := context.WithCancelCause(ctx)
	var all sync.WaitGroup
	defer func() {
		cancel(nil)
		all.Wait()
	}()
	type piece struct {
		a    A
		done chan B
	}
	cores := runtime.GOMAXPROCS(0)
	todo, line := make(chan piece), make(chan piece, 2*cores)
	for range cores {
		all.Go(func() {
			work := newWorker()
			for p := range todo {
				b, err := work(p.a)
				if err != nil {
					cancel(err)
				}
				p.done <- b
			}
		})
	}
	all.Go(func() {
		defer close(todo)
		defer close(line)
		for i := range n {
			a, err := prepare(i)
			if err != nil {
				cancel(err)
				return
			}
			p := piece{a, make(chan B, 1)}
			for _, to := range []chan<- piece{line, todo} {
				select {
				case to <- p:
				case <-ctx.Done():
					return
				}
			}
		}
	})
	for i := range n {
		select {
		case p, ok := <-line:
			if !ok {
				return context.Cause(ctx)
			}
			select {
			case b := <-p.done:
				if ctx.Err() != nil {
					return context.Cause(ctx)
				}
				if err := take(i, b); err != nil {
					cancel(err)
					return err
				}
			case <-ctx.Done():
				return context.Cause(ctx)
			}
		case <-ctx.Done():
			return context.Cause(ctx)
		}
	}
	return nil
}
