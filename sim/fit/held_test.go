package fit

import (
	"context"
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// repeated is a log whose logger writes each reading in so many rows, at equal times until
// the next, with a flicker of the last digits by up to so much.
func repeated(t *testing.T, text string, copies int, flicker float64, rng *rand.Rand) string {
	t.Helper()
	number := func(cell string) float64 {
		v, err := strconv.ParseFloat(cell, 64)
		require.NoError(t, err)
		return v
	}
	lines := strings.Split(text, "\n")
	out := lines[:1:1]
	for i, line := range lines[1 : len(lines)-1] {
		cells := strings.Split(line, ",")
		from := number(cells[0])
		to := number(strings.Split(lines[i+2], ",")[0])
		for c := range copies {
			row := []string{fmt.Sprintf("%.6f", from+(to-from)*float64(c)/float64(copies))}
			for _, cell := range cells[1:] {
				if flicker > 0 {
					cell = fmt.Sprintf("%.3f", number(cell)+flicker*rng.Float64())
				}
				row = append(row, cell)
			}
			out = append(out, strings.Join(row, ","))
		}
	}
	return strings.Join(out, "\n")
}

// Where gauges stand still between jumps, what is taken for a dropout goes to and fro until
// the rounds are out. The best car's residuals are of the readings that were not left out
// then, and everything after reads them as those.
func TestResidualsAreOfTheReadingsThatCount(t *testing.T) {
	t.Parallel()
	l, rng := pressLog(), rand.New(rand.NewPCG(1, 7))
	text := repeated(t, l.text(l.track(t).Every(l.every), rng), 40, 0.01, rng)
	s, err := scenario.Builtin("booster.rear_volume=0.6 L")
	require.NoError(t, err)
	f, err := New(s, readLog(t, text))
	require.NoError(t, err)
	require.NoError(t, f.scan(context.Background()))
	best, err := f.solve(context.Background(), make([]float64, len(f.unknowns)), nil)
	require.NoError(t, err)
	counted := 0
	for _, left := range f.left {
		if !left {
			counted++
		}
	}
	require.Less(t, counted, len(f.data), "some readings are left out of this log")
	assert.Equal(t, counted, len(best.best.Residuals))
}

// A log whose logger writes each reading ten times gives what the log of the readings gives.
func TestRepeatedReadingsSayNothingNew(t *testing.T) {
	t.Parallel()
	l := pressLog()
	l.foot = 1
	text := l.text(l.track(t).Every(l.every), rand.New(rand.NewPCG(3, 8)))
	once := text[:strings.LastIndex(text, "\n")] // the last reading has no time to be repeated until
	const find = `fit.find=["front-shell-leak"]`
	want, got := fitOf(t, once, find), fitOf(t, repeated(t, text, 10, 0, nil), find)
	require.Equal(t, len(want.Unknowns), len(got.Unknowns))
	for i := range want.Unknowns {
		assert.Equal(t, want.Unknowns[i].Estimate, got.Unknowns[i].Estimate, want.Unknowns[i].Name)
		assert.Equal(t, want.Unknowns[i].Error, got.Unknowns[i].Error, want.Unknowns[i].Name)
	}
	assert.Contains(t, strings.Join(got.Words(si.SI), "\n"), "rows that repeat")
}

// A vacuum gauge that is read once a second beside a pedal that is read every 0.1 s: what its
// stairs would say, a fault or a slow gauge, is not found, and the truth is.
func TestAGaugeSlowerThanThePedal(t *testing.T) {
	t.Parallel()
	l := pressLog()
	l.every, l.foot = 0.1, 1
	rows := strings.Split(l.text(l.track(t).Every(l.every), rand.New(rand.NewPCG(4, 8))), "\n")
	vacuum := ""
	for i := 1; i < len(rows); i++ {
		cells := strings.Split(rows[i], ",")
		if (i-1)%10 == 0 {
			vacuum = cells[1]
		}
		cells[1] = vacuum
		rows[i] = strings.Join(cells, ",")
	}
	r := fitOf(t, strings.Join(rows, "\n"))
	assert.Empty(t, r.Added)
	assert.Nil(t, r.Fault)
	leak := r.of(t, "front-shell-leak")
	assert.InDelta(t, 0.1e-6, leak.Estimate, 3.5*leak.Error)
	assert.Less(t, leak.Error, 0.02e-6)
}
