package report

import (
	"bytes"
	"encoding/csv"
	"math"
	"strconv"
	"testing"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func csvOf(t *testing.T, ans answer.Answer, units si.System, table string) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, CSV(&b, ans, units, table))
	return b.String()
}

func TestCSVInSI(t *testing.T) {
	table := stops()
	table.Rows[0][1], table.Rows[1][1] = 67727.8, math.Copysign(0, -1)
	assert.Equal(t, `stop,vacuum_before_pa,needed_pedal_n,line_pa,assisted,why
1,67727.8,44.482216152605,6894757.293168361,true,within the limit
2,0,,3456000,false,"out of reach, ""hard"" pedal"
`, csvOf(t, stub{tables: []answer.Table{table}}, si.SI, ""))
}

func TestCSVInUSUnits(t *testing.T) {
	records, err := csv.NewReader(bytes.NewBufferString(csvOf(t, stub{tables: []answer.Table{stops()}}, si.US, ""))).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, []string{"stop", "vacuum_before_inhg", "needed_pedal_lbf", "line_psi", "assisted", "why"}, records[0])
	for i, want := range []float64{1, 20, 10, 1000} {
		got, err := strconv.ParseFloat(records[1][i], 64)
		require.NoError(t, err)
		assert.InEpsilon(t, want, got, 1e-12)
	}
	assert.Equal(t, "", records[2][2], "what does not exist is empty")
}

func TestCSVPicksATable(t *testing.T) {
	second := answer.Table{Name: "second", Columns: []answer.Column{{Key: "k"}}, Rows: [][]answer.Cell{{"v"}}}
	ans := stub{tables: []answer.Table{stops(), second}}
	assert.Equal(t, "k\nv\n", csvOf(t, ans, si.SI, "second"))
	assert.Contains(t, csvOf(t, ans, si.SI, ""), "needed_pedal_n", "the first is the main one")
	assert.EqualError(t, CSV(&bytes.Buffer{}, ans, si.SI, "third"), `no table "third"; there is "Stop after stop", "second"`)
	assert.EqualError(t, CSV(&bytes.Buffer{}, stub{}, si.SI, ""), "this result has no table")
}

func TestCSVHoldsNoCaution(t *testing.T) {
	assert.NotContains(t, csvOf(t, stub{tables: []answer.Table{stops()}}, si.SI, ""), "aution")
}

func TestCSVRefusesNaN(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1)} {
		table := stops()
		table.Rows[1][3] = v
		var b bytes.Buffer
		err := CSV(&b, stub{tables: []answer.Table{table}}, si.SI, "")
		assert.ErrorContains(t, err, `row 2, column "line"`)
		assert.Zero(t, b.Len(), "nothing half written")
	}
}

func TestCSVKeepsEveryDigit(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		v := rapid.Float64().Draw(rt, "v")
		s := rapid.StringMatching(`[ -~é"\n,]{0,12}`).Draw(rt, "s")
		table := answer.Table{
			Columns: []answer.Column{{Key: "v", Dim: si.DimForce}, {Key: "s"}},
			Rows:    [][]answer.Cell{{v, s}},
		}
		var b bytes.Buffer
		require.NoError(rt, CSV(&b, stub{tables: []answer.Table{table}}, si.SI, ""))
		records, err := csv.NewReader(&b).ReadAll()
		require.NoError(rt, err)
		got, err := strconv.ParseFloat(records[1][0], 64)
		require.NoError(rt, err)
		require.Equal(rt, v, got)
		// But for the apostrophe before what a spreadsheet would work out.
		if got := records[1][1]; got != s {
			require.Contains(rt, "=+-@", s[:1])
			require.Equal(rt, "'"+s, got)
		}
	})
}
