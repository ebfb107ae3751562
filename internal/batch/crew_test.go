package batch

import (
	"context"
	"math"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A lone crew does all of it, by way of the bytes.
type lone struct{ shared atomic.Int64 }

func (l *lone) Share(ctx context.Context, n int, progress Progress, do func(context.Context, int) ([]byte, error)) ([][]byte, error) {
	l.shared.Add(1)
	out := make([][]byte, n)
	var err error
	for i := range out {
		if out[i], err = do(ctx, i); err != nil {
			return nil, err
		}
		progress.Tell(i+1, n)
	}
	return out, nil
}

func TestGatherPassesResultsOnToTheLastBit(t *testing.T) {
	type row struct {
		A, B float64
		N    int32
		Yes  bool
	}
	crew := &lone{}
	with := WithCrew(context.Background(), crew)
	for _, ctx := range []context.Context{context.Background(), with} {
		rows, done, err := Gather(ctx, 3, nil, func(_ context.Context, i int) (row, error) {
			return row{math.Pi * float64(i), math.NaN(), int32(i), i == 1}, nil
		})
		require.NoError(t, err)
		assert.Equal(t, []bool{true, true, true}, done)
		assert.Equal(t, math.Pi, rows[1].A)
		assert.True(t, math.IsNaN(rows[1].B) && rows[1].Yes && !rows[2].Yes)
		lists, _, err := Gather(ctx, 3, nil, func(_ context.Context, i int) ([]float64, error) {
			return append(make([]float64, i), math.Inf(1), 0.1), nil
		})
		require.NoError(t, err)
		assert.Equal(t, [][]float64{{math.Inf(1), 0.1}, {0, math.Inf(1), 0.1}, {0, 0, math.Inf(1), 0.1}}, lists)
	}
	assert.EqualValues(t, 2, crew.shared.Load())

	// What would be lost on the way is refused.
	_, _, err := Gather(with, 1, nil, func(context.Context, int) (struct{ hidden float64 }, error) {
		return struct{ hidden float64 }{1}, nil
	})
	require.ErrorContains(t, err, "hidden")
	require.EqualValues(t, 3, crew.shared.Load())

	// A batch within a batch is this program's own.
	_, _, err = Gather(with, 1, nil, func(ctx context.Context, _ int) (float64, error) {
		_, _, err := Gather(ctx, 2, nil, func(context.Context, int) (float64, error) { return 0, nil })
		return 0, err
	})
	require.NoError(t, err)
	assert.EqualValues(t, 4, crew.shared.Load())

	// What cannot be passed on to the last bit is an error and no zero.
	_, _, err = Gather(with, 1, nil, func(context.Context, int) (string, error) { return "text", nil })
	assert.Error(t, err)
}
