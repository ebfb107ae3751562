package batch

import (
	"context"
	"fmt"
	"reflect"
)

// A Crew is several programs that answer the same question, each from its own beginning,
// and share what takes long: each works out some of a batch's results, and all get all. A
// browser has threads only like that. The results go between them as bytes.
//
// All of a crew come to the same batches in the same order, since they have the same
// results to go on with.
type Crew interface {
	// Share calls do for those of 0 to n-1 that fall to this program, and returns what all
	// of the crew found.
	Share(ctx context.Context, n int, progress Progress, do func(ctx context.Context, i int) ([]byte, error)) ([][]byte, error)
}

type crewKey struct{}

// WithCrew returns a context in which Gather shares its work. A nil crew is none.
func WithCrew(ctx context.Context, c Crew) context.Context {
	return context.WithValue(ctx, crewKey{}, c)
}

// Gather calls do for 0 to n-1, on all cores or with a crew, and returns the results by
// index; what else it returns is that of ForEach. T is made of numbers, truths, what has
// bytes of its own, and structs and slices of these: see pack.
func Gather[T any](ctx context.Context, n int, progress Progress, do func(ctx context.Context, i int) (T, error)) (found []T, done []bool, err error) {
	found = make([]T, n)
	crew, _ := ctx.Value(crewKey{}).(Crew)
	if crew == nil {
		done, err = ForEach(ctx, n, progress, func(ctx context.Context, i int) (err error) {
			found[i], err = do(ctx, i)
			return err
		})
		return found, done, err
	}
	done = make([]bool, n)
	alone := WithCrew(ctx, nil) // a batch within a batch is not shared again
	texts, err := crew.Share(ctx, n, progress, func(_ context.Context, i int) ([]byte, error) {
		one, err := do(alone, i)
		if err != nil {
			return nil, err
		}
		return pack(nil, reflect.ValueOf(&one).Elem())
	})
	if err != nil {
		return found, done, err
	}
	for i, text := range texts {
		if _, err = unpack(text, reflect.ValueOf(&found[i]).Elem()); err != nil {
			return found, done, fmt.Errorf("result %d of %d: %w", i, n, err)
		}
		done[i] = true
	}
	return found, done, nil
}
