package gaugelog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stairs is a log of 40 s in so many rows a second, of gauges that are read so often (0: in
// every row). The vacuum scatters, or shows no finer than so much.
func stairs(rows, vacuumRate, pedalRate int, scatter, finest float64) string {
	rng := rand.New(rand.NewPCG(2, 3))
	var b strings.Builder
	b.WriteString("time_s,vacuum_pa,pedal_n\n")
	var vacuum, pedal float64
	read := func(i, rate int) bool { return rate == 0 || i%(rows/rate) == 0 }
	for i := range 40 * rows {
		at := float64(i) / float64(rows)
		if read(i, vacuumRate) {
			vacuum = 60e3 - 400*at + scatter*rng.NormFloat64()
			if finest > 0 {
				vacuum = finest * math.Round(vacuum/finest)
			}
		}
		if read(i, pedalRate) {
			pedal = 100 + 50*math.Sin(at) + rng.NormFloat64()
		}
		fmt.Fprintf(&b, "%.4f,%.1f,%.2f\n", at, vacuum, pedal)
	}
	return b.String()
}

func TestRepeatedReadings(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name                  string
		rows, vacuum, pedal   int
		scatter, finest       float64
		repeats, points, foot int
	}{
		{name: "all gauges in every row", rows: 10, scatter: 300, points: 400},
		{name: "all gauges in every tenth", rows: 50, vacuum: 5, pedal: 5, scatter: 300, repeats: 1800, points: 200},
		{name: "the vacuum in every tenth", rows: 50, vacuum: 5, scatter: 300, repeats: 1800, points: 200, foot: 2000},
		{name: "the pedal in every tenth", rows: 50, pedal: 5, scatter: 300, points: 2000, foot: 200},
		{name: "the vacuum in every other", rows: 20, vacuum: 10, scatter: 300, repeats: 400, points: 400, foot: 800},
		{name: "a gauge that shows no finer", rows: 20, finest: 1000, points: 800},
		{name: "one that shows no finer, and scatters", rows: 20, scatter: 300, finest: 500, points: 800},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			l := read(t, stairs(c.rows, c.vacuum, c.pedal, c.scatter, c.finest))
			assert.Equal(t, c.repeats, l.Repeats)
			assert.Len(t, l.Points, c.points)
			assert.Equal(t, 40*c.rows, l.Rows+l.Repeats)
			if c.foot == 0 {
				assert.Nil(t, l.Foot)
			} else {
				require.NotNil(t, l.Foot)
				assert.Len(t, l.Foot.Points, c.foot)
				assert.InEpsilon(t, 1, l.Foot.Columns[0].Noise, 0.25)
			}
			if c.scatter > 0 && c.finest == 0 {
				assert.InEpsilon(t, c.scatter, l.Columns[0].Noise, 0.2)
			}
		})
	}
}

// A clock that drifts against the gauge's makes some readings stand a row longer.
func TestRepeatedReadingsByADriftingClock(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(5, 6))
	var b strings.Builder
	b.WriteString("time_s,vacuum_pa\n")
	reading, rows := 0, 0
	vacuum := 0.0
	for i := range 3000 {
		if n := int(float64(i)/10.4) + 1; n > reading {
			reading = n
			vacuum = 50e3 + 300*rng.NormFloat64()
		}
		fmt.Fprintf(&b, "%.2f,%.1f\n", float64(i)/50, vacuum)
		rows++
	}
	l := read(t, b.String())
	assert.Equal(t, reading, l.Rows)
	assert.Equal(t, rows-reading, l.Repeats)
}
