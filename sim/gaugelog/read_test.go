package gaugelog

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

func read(t require.TestingT, text string) *Log {
	l, err := Read(context.Background(), strings.NewReader(text), "log.csv")
	require.NoError(t, err)
	return l
}

// Names and units in all the forms that loggers write them, the readings in SI.
func TestHeaders(t *testing.T) {
	t.Parallel()
	const inHg, psi, lbf = si.InchOfMercury, si.PoundPerSquareInch, si.PoundForce
	for _, c := range []struct {
		text    string
		kinds   []Kind
		values  []float64
		ignored []string
	}{
		{"time_s,front_vacuum_inHg\n1,20", []Kind{Front}, []float64{20 * inHg}, nil},
		{"time [s],vacuum [inHg],pedal [lbf],line [psi]\n0,18.5,20,300", []Kind{Front, Pedal, Line}, []float64{18.5 * inHg, 20 * lbf, 300 * psi}, nil},
		{"Time (s)\tBooster Vacuum (kPa)\tBrake pressure (bar)\n0\t60\t12", []Kind{Front, Line}, []float64{60e3, 12e5}, nil},
		{"\"time, s\",\"vacuum, in Hg\"\n0,10", []Kind{Front}, []float64{10 * inHg}, nil},
		{"t_ms;manifold vacuum mmHg;rpm\n0;450,5;800", []Kind{Manifold}, []float64{450.5 * si.MillimetreOfMercury}, []string{"rpm"}},
		{"\xef\xbb\xbf# logger 3\r\n\r\nelapsed_min,tank_vac_mbar,rear_line_psi\r\n0,600,5\r\n", []Kind{Reservoir, RearLine}, []float64{60e3, 5 * psi}, nil},
		{"time,vacuum,foot\n(s),(inHg),(N)\n0,20,3", []Kind{Front, Pedal}, []float64{20 * inHg, 3}, nil},
		{"time_s,hose_vacuum_pa,working_vacuum_pa,pedal_travel_m,vacuum_valve_open\n0,5,6,0.1,1", []Kind{Hose, Working}, []float64{5, 6}, []string{"pedal_travel_m", "vacuum_valve_open"}},
		{"time_s,vacuum_inHg\n0,20 kPa", []Kind{Front}, []float64{20e3}, nil},
		{"time_s,vacuum_kpa,reservoir_vacuum_kpa\n0,60,\n1,60,", []Kind{Front}, []float64{60e3}, []string{"reservoir_vacuum_kpa"}},
		{"time_s,vacuum_kpa\n\"0\",\"60\"", []Kind{Front}, []float64{60e3}, nil},
		{"time_s;vacuum_kpa;\n0;60;", []Kind{Front}, []float64{60e3}, []string{""}},
	} {
		l := read(t, c.text)
		var kinds []Kind
		for k := range l.Columns {
			kinds = append(kinds, l.Columns[k].Kind)
			assert.InEpsilon(t, c.values[k], l.Points[0].Mean(k), 1e-9, c.text)
		}
		assert.Equal(t, c.kinds, kinds, c.text)
		assert.Equal(t, c.ignored, append(l.Empty, l.Ignored...), c.text)
	}
}

// Whatever is wrong is named with its line and column, and with what would be right.
func TestBadLogs(t *testing.T) {
	t.Parallel()
	const good = "time_s,vacuum_inHg,pedal_lbf\n0,20,0\n"
	for _, c := range []struct{ text, want string }{
		{"", `log.csv:1: header: read nothing, want the names of columns`},
		{"# only\n\n", `log.csv:2: header: read nothing, want the names of columns`},
		{"time_s,vacuum_inHg\n", `log.csv:2: row: read nothing, want rows of numbers below the header`},
		{"vacuum_inHg,pedal_n\n", `log.csv:1: header: read "vacuum_inHg", "pedal_n", want a column with the time`},
		{"time_s,pedal_n\n", `log.csv:1: header: read "time_s", "pedal_n", want a column of a gauge`},
		{"time_s,vacuum\n0,20\n", `log.csv:1: vacuum: read no unit, want the unit of a vacuum behind the name, as in "vacuum [inHg]" or vacuum_kpa`},
		{"time_s,vacuum [rpm]\n0,20\n", `log.csv:1: vacuum [rpm]: read the unit "rpm", want the unit of a vacuum`},
		{"time_s,line [mpa]\n0,20\n", `log.csv:1: line [mpa]: read the unit "mpa"`},
		{"time_s,vacuum_inHg,booster_vacuum_kpa\n0,20,60\n", `log.csv:1: booster_vacuum_kpa: read a second column with the front vacuum, want one; "vacuum_inHg" has it already`},
		{"time_s,elapsed_s,vacuum_inHg\n0,0,20\n", `log.csv:1: elapsed_s: read a second column with the time, want one`},
		{good + "1,abc,0\n", `log.csv:3: vacuum_inHg: read "abc", want a number in inHg`},
		{good + "1,,0\n", `log.csv:3: vacuum_inHg: read nothing, want a number in inHg`},
		{good + "1,NaN,0\n", `log.csv:3: vacuum_inHg: read "NaN", want a number in inHg`},
		{good + "1,inf,0\n", `log.csv:3: vacuum_inHg: read "inf"`},
		{good + "1,1e999,0\n", `log.csv:3: vacuum_inHg: read "1e999"`},
		{good + "1,0x10,0\n", `log.csv:3: vacuum_inHg: read "0x10"`},
		{good + "1,20 rpm,0\n", `log.csv:3: vacuum_inHg: read "20 rpm"`},
		{good + "1,45,0\n", `log.csv:3: vacuum_inHg: read "45", want -2.953 to 32.48 inHg, which a gauge can show`},
		{good + "1,20,5000\n", `log.csv:3: pedal_lbf: read "5000", want -11.24 to 1124 lbf`},
		{good + "1,20\n", `log.csv:3: row: read 2 values, want 3, one for each column of the header`},
		{good + "1,20,0,7\n", `log.csv:3: row: read 4 values, want 3`},
		{good + "\n# a break\n-1,20,0\n", `log.csv:5: time_s: read "-1", want no less than the time before, 0 s`},
		{good + "2e9,20,0\n", `log.csv:3: time_s: read "2e9", want at most 1e+09 s`},
		{good + "x,20,0\n", `log.csv:3: time_s: read "x", want a number in s`},
		{good + strings.Repeat("1", 70000) + "\n", `log.csv:3: row: read more than 65536 bytes without the end of a line`},
		{good + "1,\"20,5\",0\n", `log.csv:3: vacuum_inHg: read "20 5", want a number in inHg`},
		{"time_s,vacuum_inHg,hose_vacuum_inHg\n0,20,\n1,20,3\n", `log.csv:3: hose_vacuum_inHg: read "3", want nothing, as in the first row`},
		{"time_s,vacuum_inHg\n0,\n1,\n", `log.csv:2: row: read nothing in the column of any gauge, want readings from the first row on`},
		{"time_s,vacuum_inHg\n0 20\n", `log.csv:2: row: read 1 value, want 2`},
	} {
		_, err := Read(context.Background(), strings.NewReader(c.text), "log.csv")
		var input *scenario.InputError
		if assert.ErrorAs(t, err, &input, "%.60q", c.text) {
			assert.Contains(t, err.Error(), c.want)
		}
	}
}

// All bad rows are named at once, up to a number that can be read.
func TestManyBadRows(t *testing.T) {
	t.Parallel()
	_, err := Read(context.Background(), strings.NewReader("time_s,vacuum_inHg\n"+strings.Repeat("0,x\n", 100)), "log.csv")
	var input *scenario.InputError
	require.ErrorAs(t, err, &input)
	assert.Len(t, input.Problems, 20)
	assert.Equal(t, 2, input.Problems[0].Line)
	assert.Equal(t, 21, input.Problems[19].Line)
	assert.Positive(t, input.More)
}

// What the reader cannot do is no fault of the log.
func TestReaderFails(t *testing.T) {
	t.Parallel()
	broken := errors.New("unplugged")
	_, err := Read(context.Background(), io.MultiReader(strings.NewReader("time_s,vacuum_pa\n0,1\n"), iotest.ErrReader(broken)), "log.csv")
	assert.ErrorIs(t, err, broken)
	_, err = Read(context.Background(), iotest.ErrReader(broken), "log.csv")
	assert.ErrorIs(t, err, broken)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = Read(ctx, strings.NewReader("time_s,vacuum_pa\n0,1\n"), "log.csv")
	assert.ErrorIs(t, err, context.Canceled)
}

// A short log is kept as it is.
func TestShortLogIsKept(t *testing.T) {
	t.Parallel()
	l := read(t, "time_s,vacuum_pa\n0,100\n0.5,90\n0.5,95\n2,80\n")
	assert.False(t, l.Thinned())
	assert.Equal(t, 4, l.Rows)
	assert.Equal(t, si.Time(2), l.Until())
	for i, want := range []float64{100, 90, 95, 80} {
		assert.Equal(t, want, l.Points[i].Mean(0))
		assert.Zero(t, l.Points[i].Spread())
	}
}

// rowsOf writes a log of a step, a slope and a plateau with scatter, as it is read.
type rowsOf struct {
	n, next int
	rng     *rand.Rand
	rest    []byte
	watch   func(row int)
}

func (r *rowsOf) Read(p []byte) (int, error) {
	if len(r.rest) == 0 {
		if r.next > r.n {
			return 0, io.EOF
		}
		if r.next == 0 {
			r.rest = []byte("time_s,vacuum_pa,pedal_n\n")
		} else {
			at := float64(r.next-1) / float64(r.n)
			r.rest = fmt.Appendf(nil, "%.6f,%.2f,%.2f\n", 100*at, truth(at)+100*r.rng.NormFloat64(), foot(at))
		}
		if r.watch != nil && r.next%2000 == 0 {
			r.watch(r.next)
		}
		r.next++
	}
	n := copy(p, r.rest)
	r.rest = r.rest[n:]
	return n, nil
}

func truth(at float64) float64 {
	switch {
	case at < 0.3:
		return 60e3 - 20e3*at
	case at < 0.4:
		return 40e3
	}
	return 40e3 - 30e3*math.Sin(at-0.4)
}

func foot(at float64) float64 {
	if at > 0.3 && at < 0.4 {
		return 150
	}
	return 0
}

// The memory that is in use while a log is read does not grow with its rows.
func TestMemoryDoesNotGrowWithRows(t *testing.T) {
	most := func(rows int) uint64 {
		var before, now runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		peak := uint64(0)
		every := max(1, rows/2000/10)
		l, err := Read(context.Background(), &rowsOf{n: rows, rng: rand.New(rand.NewPCG(1, 2)), watch: func(row int) {
			if row/2000%every == 0 {
				runtime.GC()
				runtime.ReadMemStats(&now)
				peak = max(peak, now.HeapAlloc-min(now.HeapAlloc, before.HeapAlloc))
			}
		}}, "log.csv")
		require.NoError(t, err)
		assert.Equal(t, rows, l.Rows)
		assert.Less(t, len(l.Points), mostPoints)
		return peak
	}
	small, large := most(20_000), most(400_000)
	assert.Less(t, float64(large), 1.5*float64(small)+200e3, "bytes in use with twenty times the rows")
	assert.Less(t, large, uint64(3e6))
}

// Thinning loses no row, keeps means and slopes, keeps corners, and leaves a scatter
// about the lines that is the gauge's.
func TestThinning(t *testing.T) {
	t.Parallel()
	const rows = 60_000
	l, err := Read(context.Background(), &rowsOf{n: rows, rng: rand.New(rand.NewPCG(3, 4))}, "log.csv")
	require.NoError(t, err)
	assert.True(t, l.Thinned())
	count, chi, points := 0, 0.0, 0
	for i := range l.Points {
		p := &l.Points[i]
		count += p.Rows
		if i > 0 {
			assert.Less(t, l.Points[i-1].To, p.From)
		}
		// The mean of a smooth course over the rows is that of its values a spread to
		// either side.
		want := (truth((p.Time-p.Spread())/100) + truth((p.Time+p.Spread())/100)) / 2
		z := (p.Mean(0) - want) / 100 * math.Sqrt(float64(p.Rows))
		if math.Abs(p.Time-30) > 0.1 && math.Abs(p.Time-40) > 0.1 {
			chi += z * z
			points++
			assert.InDelta(t, foot(p.Time/100), p.Mean(1), 1e-6, "at %g s", p.Time)
		}
	}
	assert.Equal(t, rows, count)
	assert.InDelta(t, 1, chi/float64(points), 6*math.Sqrt(2/float64(points)), "means scatter as they should, of %d points", points)
	assert.InDelta(t, 100, l.Columns[0].Noise, 5)
	assert.Less(t, l.Columns[1].Noise, 1.0, "a step is no scatter")
	// The step of the pedal is kept to a hundredth of a second or so.
	last := 0.0
	for i := range l.Points {
		if p := &l.Points[i]; p.Mean(1) < 75 && p.To <= 31 {
			last = p.To
		}
	}
	assert.InDelta(t, 30, last, 0.03)
}

// Points put together have the sums that all their rows have.
func TestMergedPoints(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 30).Draw(t, "rows")
		var ts, ys []float64
		point := Point{}
		for i := range n {
			at := float64(i) + rapid.Float64Range(0, 0.9).Draw(t, "t")
			y := rapid.Float64Range(-1e5, 1e5).Draw(t, "y")
			ts, ys = append(ts, at), append(ys, y)
			row := Point{Rows: 1, From: at, To: at, Time: at, lines: []line{{mean: y}}}
			if i == 0 {
				point = row
			} else {
				point = point.merged(&row, point.lines)
			}
		}
		var mt, my, tt, ty, yy float64
		for i := range ts {
			mt, my = mt+ts[i]/float64(n), my+ys[i]/float64(n)
		}
		for i := range ts {
			tt, ty, yy = tt+(ts[i]-mt)*(ts[i]-mt), ty+(ts[i]-mt)*(ys[i]-my), yy+(ys[i]-my)*(ys[i]-my)
		}
		assert.InDelta(t, mt, point.Time, 1e-9)
		assert.InDelta(t, my, point.Mean(0), 1e-6)
		assert.InDelta(t, math.Sqrt(tt/float64(n)), point.Spread(), 1e-9)
		assert.InDelta(t, yy-ty*ty/tt, point.rest(0), 1e-9*yy+1e-6)
		assert.InDelta(t, my+ty/tt*(ts[0]-mt), point.At(0, ts[0]), 1e-4)
	})
}

func FuzzRead(f *testing.F) {
	for _, seed := range []string{
		"", "time_s,vacuum_pa\n0,1\n", "time [s];line [bar]\n0;1,5\n1;2\n", "t_s\tvac_kpa\tx\n0\t1\t\n", "\"time_s\",\"vacuum_pa\"\n\"0\",\"1\"\n",
		"time,vacuum\ns,inHg\n0,1\n", "\xef\xbb\xbftime_s,vacuum_pa\r\n0,1 kPa\r\n", "time_s,vacuum_pa\n0,\"1\n", "#\n,\n",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		l, err := Read(context.Background(), strings.NewReader(text), "log.csv")
		if err != nil {
			var input *scenario.InputError
			require.ErrorAs(t, err, &input)
			for _, p := range input.Problems {
				require.NotEmpty(t, p.Want)
				require.Positive(t, p.Line)
				require.NotContains(t, p.String(), "\n")
			}
			return
		}
		rows, last := 0, math.Inf(-1)
		for i := range l.Points {
			p := &l.Points[i]
			rows += p.Rows
			require.GreaterOrEqual(t, p.From, last)
			last = p.To
			for k := range l.Columns {
				require.False(t, math.IsNaN(p.Mean(k)) || math.IsInf(p.Mean(k), 0))
			}
		}
		require.Equal(t, l.Rows, rows)
		require.Positive(t, rows)
	})
}
