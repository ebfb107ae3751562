package batch

import (
	"bytes"
	"context"
	"encoding/binary"
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
// index; what else it returns is that of ForEach. T is of a size that encoding/binary
// knows, or a slice of such values, so that a crew passes results on to the last bit.
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
		return binary.Append(nil, binary.LittleEndian, one)
	})
	if err != nil {
		return found, done, err
	}
	for i, text := range texts {
		if found[i], err = unpacked[T](text); err != nil {
			return found, done, fmt.Errorf("result %d of %d: %w", i, n, err)
		}
		done[i] = true
	}
	return found, done, nil
}

// unpacked reads a value back. A slice is as long as the bytes are.
func unpacked[T any](text []byte) (v T, err error) {
	if r := reflect.ValueOf(&v).Elem(); r.Kind() == reflect.Slice {
		each := binary.Size(reflect.Zero(r.Type().Elem()).Interface())
		r.Set(reflect.MakeSlice(r.Type(), len(text)/each, len(text)/each))
		return v, binary.Read(bytes.NewReader(text), binary.LittleEndian, v)
	}
	return v, binary.Read(bytes.NewReader(text), binary.LittleEndian, &v)
}
