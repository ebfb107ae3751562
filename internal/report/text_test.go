package report

import (
	"bytes"
	"errors"
	"math"
	"strings"
	"testing"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func text(t *testing.T, ans answer.Answer, opt TextOptions) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Text(&b, ans, opt))
	return b.String()
}

func TestTextInUSUnits(t *testing.T) {
	ans := stub{
		words: []string{
			"After the engine dies there is one assisted stop; the second needs more force than the leg gives, so plan for it.",
			"Second paragraph.",
		},
		tables: []answer.Table{stops()},
	}
	got := text(t, ans, TextOptions{
		Units:   si.US,
		Assumed: []Assumption{{"booster.ratio", "5", "typical"}, {"hose.area", "0.028 in²", ""}},
	})
	assert.Equal(t, `After the engine dies there is one assisted stop; the second needs more force
than the leg gives, so plan for it.

Second paragraph.

Stop after stop
      Vacuum  Needed      Line
      before   pedal  pressure
Stop  (inHg)   (lbf)     (psi)  Assisted  Why
----  ------  ------  --------  --------  --------------------------
   1    20.0      10      1000  yes       within the limit
   2    10.0       —       500  no        out of reach, "hard" pedal

Assumed, since not given:
  booster.ratio  5          typical
  hose.area      0.028 in²

Caution: estimates for planning, not a safety approval. Local codes and licensed
practice come first; test the finished car safely before it meets traffic.
`, got)
}

func TestTextFineAndNarrow(t *testing.T) {
	got := text(t, stub{tables: []answer.Table{stops()}}, TextOptions{Fine: true, Width: 50})
	assert.Equal(t, `Stop after stop
      Vacuum  Needed      Line
      before   pedal  pressure
Stop   (kPa)     (N)     (MPa)  Assisted  Why
----  ------  ------  --------  --------  --------
   1   67.73   44.48     6.895  yes       within
                                          the
                                          limit
   2   33.53       —     3.456  no        out of
                                          reach,
                                          "hard"
                                          pedal

Caution: estimates for planning, not a safety
approval. Local codes and licensed practice come
first; test the finished car safely before it
meets traffic.
`, got)
}

// A leak and a piston in one column differ by orders of magnitude: each keeps its unit.
func TestColumnOfMixedUnits(t *testing.T) {
	area := func(values ...answer.Cell) stub {
		table := answer.Table{Columns: []answer.Column{{Key: "area", Title: "Area", Dim: si.DimArea}}}
		for _, v := range values {
			table.Rows = append(table.Rows, []answer.Cell{v})
		}
		return stub{tables: []answer.Table{table}}
	}
	mixed := text(t, area(466e-4, 0.05e-6, 0.0), TextOptions{})
	assert.Contains(t, mixed, "466.0 cm²\n")
	assert.Contains(t, mixed, "0.050 mm²\n")
	alike := text(t, area(466e-4, 500e-4, 0.0, nil), TextOptions{})
	assert.Contains(t, alike, "(cm²)\n")
	assert.Contains(t, alike, "466.0\n")
	assert.NotContains(t, alike, "466.0 cm²")
}

func TestWideTableGoesOnBelow(t *testing.T) {
	var table answer.Table
	row := []answer.Cell{}
	for i := range 12 {
		table.Columns = append(table.Columns, answer.Column{Key: "k", Title: "Quantity" + string(rune('A'+i))})
		row = append(row, i)
	}
	table.Rows = [][]answer.Cell{row}
	got := text(t, stub{tables: []answer.Table{table}}, TextOptions{Width: 60})
	assert.Equal(t, 3, strings.Count(got, "QuantityA"), "named in each part")
	assert.Equal(t, 1, strings.Count(got, "QuantityL"))
	for _, line := range strings.Split(got, "\n") {
		assert.LessOrEqual(t, width(line), 60)
	}
}

func TestCautionStandsOnceAtTheEnd(t *testing.T) {
	for _, ans := range []stub{{}, {words: []string{"x"}}, {tables: []answer.Table{stops(), stops()}}} {
		got := text(t, ans, TextOptions{Width: 400})
		assert.Equal(t, 1, strings.Count(got, "Caution"))
		assert.True(t, strings.HasSuffix(got, Caution+"\n"))
	}
}

func TestTextRefusesWhatIsNoCell(t *testing.T) {
	table := stops()
	table.Rows[1][1] = si.Vacuum(1)
	err := Text(&bytes.Buffer{}, stub{tables: []answer.Table{table}}, TextOptions{})
	assert.EqualError(t, err, `table "Stop after stop", row 2, column "vacuum_before": a cell cannot be a si.Vacuum`)
	table = stops()
	table.Rows[0] = table.Rows[0][:2]
	err = Text(&bytes.Buffer{}, stub{tables: []answer.Table{table}}, TextOptions{})
	assert.EqualError(t, err, `table "Stop after stop", row 1: 2 cells for 6 columns`)
}

func TestTextNeverPrintsNaN(t *testing.T) {
	table := stops()
	table.Rows[0][1], table.Rows[1][3] = math.NaN(), math.Inf(1)
	got := text(t, stub{tables: []answer.Table{table}}, TextOptions{Units: si.US})
	assert.NotContains(t, got, "NaN")
	assert.NotContains(t, got, "Inf")
	assert.Contains(t, got, missing)
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestWriterErrorsComeBack(t *testing.T) {
	ans := stub{tables: []answer.Table{stops()}, doc: 1}
	assert.EqualError(t, Text(fullDisk{}, ans, TextOptions{}), "disk full")
	assert.EqualError(t, CSV(fullDisk{}, ans, si.SI, ""), "disk full")
	assert.EqualError(t, JSON(fullDisk{}, ans), "disk full")
}

// No line is wider than asked, unless a single word is, and no word is lost.
func TestWrap(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := rapid.StringMatching(`([a-zé]{1,9} {0,2}){0,30}`).Draw(rt, "text")
		limit := rapid.IntRange(1, 40).Draw(rt, "limit")
		lines := Wrap(s, limit)
		for _, l := range lines {
			require.True(rt, width(l) <= limit || !strings.Contains(l, " "))
		}
		require.Equal(rt, strings.Fields(s), strings.Fields(strings.Join(lines, " ")))
	})
}
