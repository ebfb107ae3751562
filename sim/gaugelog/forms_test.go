package gaugelog_test

import (
	"bytes"
	"compress/gzip"
	"context"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/gaugelog"
	"kneepoint/sim/si"
)

func fromBytes(data []byte) (*gaugelog.Log, error) {
	return gaugelog.Read(context.Background(), bytes.NewReader(data), "test.csv")
}

// UTF-16 reads as the text it is, with a mark and without, in either order of bytes; letters
// beyond 16 bits too.
func TestUTF16(t *testing.T) {
	t.Parallel()
	text := "time_s,vacuum_kpa,𝛼\n0,60,1\n1,59.5,2\n"
	for _, order := range []binary.ByteOrder{binary.LittleEndian, binary.BigEndian} {
		for _, mark := range []string{"", "\ufeff"} {
			var data []byte
			for _, u := range utf16.Encode([]rune(mark + text)) {
				data = append(data, 0, 0)
				order.PutUint16(data[len(data)-2:], u)
			}
			l, err := fromBytes(data)
			require.NoError(t, err)
			assert.Equal(t, 2, l.Rows)
			assert.Equal(t, []string{"𝛼"}, l.Ignored)
			assert.InDelta(t, 59.5e3, l.Points[1].Mean(0), 1e-6)
		}
	}
}

// What is no text is named for what it is.
func TestFilesThatAreNoLog(t *testing.T) {
	t.Parallel()
	var packed bytes.Buffer
	z := gzip.NewWriter(&packed)
	_, err := z.Write([]byte("time_s,vacuum_kpa\n0,60\n"))
	require.NoError(t, err)
	require.NoError(t, z.Close())
	for want, data := range map[string][]byte{
		"packed by gzip": packed.Bytes(), "spreadsheet": []byte("PK\x03\x04..."), "a PDF": []byte("%PDF-1.7"),
		"bytes that are no text": []byte("time\x00\x01\x02, vacuum"),
	} {
		_, err := fromBytes(data)
		assert.ErrorContains(t, err, "test.csv:1: log: read ", want)
		assert.ErrorContains(t, err, want)
	}
}

// Times of day count from the first row, and through midnight.
func TestClocks(t *testing.T) {
	t.Parallel()
	for text, want := range map[string][]float64{
		"time,vacuum_kpa\n14:03:05.2,60\n14:03:06,60\n14:04:05.2,60":                          {0, 0.8, 60},
		"time [h:mm:ss],vacuum_kpa\n23:59:59,60\n00:00:01,60":                                 {0, 2},
		"timestamp;vacuum_kpa\n2026-11-27T09:00:00,5Z;60\n2026-11-27T09:00:02Z;60":            {0, 1.5},
		"clock,vacuum_kpa\n11:59:58 AM,60\n12:00:00 PM,60\n1:00:00 pm,60":                     {0, 2, 3602},
		"time [mm:ss],vacuum_kpa\n0:30,60\n1:30,60":                                           {0, 60},
		"time [hh:mm],vacuum_kpa\n9:30,60\n9:31,60":                                           {0, 60},
		"time,vacuum\n(h:mm:ss),(kPa)\n0:00:01,60\n0:00:02,60":                                {0, 1},
		"clock,time_s,vacuum_kpa\nnoon,3,60\nnoon,4,60":                                       {3, 4},
		"Time;Vakuum vacuum [kPa]\n27.11.2026 14:03:05;60\n27.11.2026 14:03:07;60":            {0, 2},
		"datetime,vacuum_kpa\n2026-11-27 14:03:05+01:00,60\n2026-11-27 14:03:05.5+01:00,60\n": {0, 0.5},
	} {
		l, err := fromBytes([]byte(text))
		if !assert.NoError(t, err, text) {
			continue
		}
		for i, at := range want {
			assert.InDelta(t, at, l.Points[i].Time, 1e-9, text)
		}
	}
	for text, want := range map[string]string{
		"time,vacuum_kpa\n14:03,60\n14:04,60":                      `time: read no unit, want the unit of a time behind the name, as in "time [s]", time_s, "time [h:mm:ss]" or "time [mm:ss]"`,
		"time,vacuum_kpa\n14:03:05,60\n14:03:04,60":                `test.csv:3: time: read "14:03:04", want no less than the time before, 14:03:05`,
		"time,vacuum_kpa\n14:03:05,60\n14:63:04,60":                `test.csv:3: time: read "14:63:04", want a time such as 14:03:05.2`,
		"time,vacuum_kpa\n14:03:05,60\n14:03:05,60\n14:03:05,60\n": `test.csv:2: time: read the same time in every row`,
		"time_s,vacuum_kpa\n3,60\n3,60\n":                          `test.csv:2: time_s: read the same time in every row`,
	} {
		_, err := fromBytes([]byte(text))
		assert.ErrorContains(t, err, want, text)
	}
}

// An absolute pressure is known by its name or its unit, and becomes a vacuum below the
// ambient one; errors speak the column's unit.
func TestAbsolutePressures(t *testing.T) {
	t.Parallel()
	for head, kind := range map[string]gaugelog.Kind{
		"MAP [kPa]": gaugelog.Manifold, "map_kpa": gaugelog.Manifold, "Intake Manifold Absolute Pressure (kPa)": gaugelog.Manifold,
		"booster [kPa abs]": gaugelog.Front, "manifold pressure [kPa abs]": gaugelog.Manifold, "hose [kPaA]": gaugelog.Hose, "tank pressure, kPa absolute": gaugelog.Reservoir,
	} {
		l, err := fromBytes([]byte("time_s;" + head + "\n0;35\n1;40\n"))
		if !assert.NoError(t, err, head) {
			continue
		}
		require.Len(t, l.Columns, 1)
		assert.Equal(t, kind, l.Columns[0].Kind, head)
		assert.True(t, l.Columns[0].Absolute, head)
		v := l.AsVacuums(100e3)
		assert.InDelta(t, 65e3, v.Points[0].Mean(0), 1e-6)
		assert.InDelta(t, 35e3, l.Points[0].Mean(0), 1e-6, "the log itself stays")
		assert.False(t, v.Columns[0].Absolute)
	}
	l, err := fromBytes([]byte("time_s,manifold vacuum [inHg],MAP [kPa],boost\n0,20,35,\n1,20,35,\n"))
	require.NoError(t, err)
	assert.Equal(t, []string{"MAP [kPa]", "boost"}, l.Ignored, "beside a vacuum of the same place")
	assert.Equal(t, "20 inHg", l.Columns[0].Show(20*si.InchOfMercury))
}

// A gauge that drops out of a fast log for less than anything in a car takes is left out, with
// its line; a press, and a step that stays, are not.
func TestSpikes(t *testing.T) {
	t.Parallel()
	rng := rand.New(rand.NewPCG(1, 2))
	var text strings.Builder
	text.WriteString("time_s,vacuum_kpa,pedal_n\n")
	want := map[int]bool{}
	for i := range 6000 {
		at := float64(i) / 100
		v, foot := 60-0.1*at+0.05*rng.NormFloat64(), 0.0
		if at > 20 {
			foot = 150 * math.Min(1, (at-20)/0.3)
		}
		if at > 40 {
			v -= 15 // and stays
		}
		switch {
		case i == 1000, i == 3005, i == 3006, i == 3007:
			v = 0
			want[i+2] = true
		case i == 2800:
			foot = 0
			want[i+2] = true
		}
		fmt.Fprintf(&text, "%.3f,%.3f,%.2f\n", at, v, foot+0.5*rng.NormFloat64())
	}
	l, err := fromBytes([]byte(text.String()))
	require.NoError(t, err)
	got := map[int]bool{}
	for _, s := range l.Spikes {
		got[s.Line] = true
	}
	assert.Equal(t, want, got)
	assert.Equal(t, 6000-len(want), l.Rows)
	rows := 0
	for i := range l.Points {
		rows += l.Points[i].Rows
	}
	assert.Equal(t, l.Rows, rows)
}
