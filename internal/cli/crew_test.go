package cli

import (
	"bytes"
	"context"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/batch"
	"kneepoint/scenarios"
)

// A table joins programs in one process to a crew, as a page joins its workers.
type table struct {
	mu     sync.Mutex
	ready  *sync.Cond
	shared []*sharedBatch
	by     map[int]int // how many results each member found
}

type sharedBatch struct {
	next, done int
	found      [][]byte
}

// A member is one of the crew: at counts the batches that it has come to.
type member struct {
	*table
	name, at int
}

func newTable() *table {
	t := &table{by: map[int]int{}}
	t.ready = sync.NewCond(&t.mu)
	return t
}

func (m *member) Share(ctx context.Context, n int, _ batch.Progress, do func(context.Context, int) ([]byte, error)) ([][]byte, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.at == len(m.shared) {
		m.shared = append(m.shared, &sharedBatch{found: make([][]byte, n)})
	}
	b := m.shared[m.at]
	m.at++
	if len(b.found) != n {
		panic("the crew has come apart")
	}
	for b.next < n {
		i := b.next
		b.next++
		m.mu.Unlock()
		one, err := do(ctx, i)
		m.mu.Lock()
		if err != nil {
			return nil, err
		}
		b.found[i] = one
		m.by[m.name]++
		b.done++
		m.ready.Broadcast()
	}
	for b.done < n {
		m.ready.Wait()
	}
	return b.found, nil
}

// All of a crew come to the answer that one program comes to, and each does a part.
func TestACrewAnswersAsOne(t *testing.T) {
	if testing.Short() {
		t.Skip("it asks each verb three times")
	}
	document := func(name string) string {
		text, err := scenarios.Read(name)
		require.NoError(t, err)
		return string(text)
	}
	for _, c := range []struct {
		args []string
		in   string
	}{
		{[]string{"choose", "-"}, document("which-booster")},
		{[]string{"diagnose", "-"}, document("hard-pedal")},
		{[]string{"ask", "--answers", "-"}, "vacuum in gear = 11 inHg\n"},
	} {
		t.Run(c.args[0], func(t *testing.T) {
			ask := func(ctx context.Context) string {
				var out, trouble bytes.Buffer
				Main(ctx, append(c.args, "--format", "json"), strings.NewReader(c.in), &out, &trouble)
				assert.Empty(t, trouble.String())
				return out.String()
			}
			want := ask(t.Context())
			require.NotEmpty(t, want)
			const crew = 2
			at := newTable()
			got := make([]string, crew)
			var all sync.WaitGroup
			for k := range crew {
				all.Go(func() {
					got[k] = ask(batch.WithCrew(t.Context(), &member{table: at, name: k}))
				})
			}
			all.Wait()
			assert.Equal(t, got[0], got[1], "the crew agrees")
			assert.Equal(t, want, got[0])
			for k := range crew {
				assert.Greater(t, at.by[k], 2, "each of the crew does a part")
			}
		})
	}
}
