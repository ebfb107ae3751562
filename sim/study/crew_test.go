package study

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/batch"
	"kneepoint/sim/scenario"
)

// alone is a crew of one: what it finds has gone through bytes.
type alone struct{}

func (alone) Share(ctx context.Context, n int, _ batch.Progress, do func(context.Context, int) ([]byte, error)) ([][]byte, error) {
	out := make([][]byte, n)
	var err error
	for i := range out {
		if out[i], err = do(ctx, i); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// A page's workers pass each other what they find: it is the same to the last bit, and what
// does not exist does not exist there either.
func TestACrewFindsTheSame(t *testing.T) {
	s, err := scenario.Read(strings.NewReader("[choose]\nboosters = [\"8 in\", \"none\"]\nreservoirs = [\"0 L\"]\n"), "car.toml")
	require.NoError(t, err)
	want, err := Choose(t.Context(), s, nil)
	require.NoError(t, err)
	got, err := Choose(batch.WithCrew(t.Context(), alone{}), s, nil)
	require.NoError(t, err)
	same(t, want, got)

	cars := func(int) (*scenario.Scenario, error) { return s, nil }
	stands, err := Standings(t.Context(), 1, 3, nil, cars)
	require.NoError(t, err)
	found, err := Standings(batch.WithCrew(t.Context(), alone{}), 1, 3, nil, cars)
	require.NoError(t, err)
	same(t, stands, found)

	list, err := Shortlisted(t.Context(), s, nil)
	require.NoError(t, err)
	again, err := Shortlisted(batch.WithCrew(t.Context(), alone{}), s, nil)
	require.NoError(t, err)
	same(t, list, again)
}

func same(t *testing.T, a, b any) {
	t.Helper()
	one, err := json.Marshal(a)
	require.NoError(t, err)
	other, err := json.Marshal(b)
	require.NoError(t, err)
	assert.JSONEq(t, string(one), string(other))
}
