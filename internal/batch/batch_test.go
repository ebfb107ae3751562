package batch

import (
	"context"
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestForEachDoesEveryOneOnce(t *testing.T) {
	const n = 1000
	counts := make([]int, n)
	told := 0
	done, err := ForEach(context.Background(), n, func(d, total int) {
		told++
		assert.Equal(t, told, d)
		assert.Equal(t, n, total)
	}, func(_ context.Context, i int) error {
		counts[i]++
		return nil
	})
	require.NoError(t, err)
	assert.Equal(t, n, told)
	for i := range n {
		assert.True(t, done[i])
		assert.Equal(t, 1, counts[i])
	}
}

func TestForEachStopsAtAnError(t *testing.T) {
	boom := errors.New("boom")
	done, err := ForEach(context.Background(), 10_000, nil, func(_ context.Context, i int) error {
		if i == 5 {
			return boom
		}
		return nil
	})
	require.ErrorIs(t, err, boom)
	assert.False(t, done[5])
	assert.False(t, done[9_999])
}

func TestForEachStopsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	done, err := ForEach(ctx, 10_000, nil, func(_ context.Context, i int) error {
		if i == 100 {
			cancel()
		}
		return nil
	})
	require.ErrorIs(t, err, context.Canceled)
	assert.True(t, done[0])
	assert.False(t, done[9_999])
}
