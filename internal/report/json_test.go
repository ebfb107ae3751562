package report

import (
	"bytes"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

type jsonStop struct {
	LinePa float64  `json:"line_pa"`
	Needed *float64 `json:"needed_pedal_n"`
	Note   string   `json:"note,omitempty"`
	hidden float64
}

type jsonDocument struct {
	Zulu  int        `json:"zulu"`
	Alpha bool       `json:"alpha"`
	Stops []jsonStop `json:"stops"`
}

func TestJSON(t *testing.T) {
	force := 250.5
	doc := jsonDocument{Zulu: 1, Stops: []jsonStop{{LinePa: 5.5e6, Needed: &force, Note: "a < b & c"}, {hidden: math.NaN()}}}
	var b bytes.Buffer
	require.NoError(t, JSON(&b, stub{doc: doc}))
	assert.Equal(t, `{
  "zulu": 1,
  "alpha": false,
  "stops": [
    {
      "line_pa": 5500000,
      "needed_pedal_n": 250.5,
      "note": "a < b & c"
    },
    {
      "line_pa": 0,
      "needed_pedal_n": null
    }
  ]
}
`, b.String())
}

type embedding struct {
	jsonStop
	Any any `json:"any"`
}

func TestJSONNamesTheNumberItCannotHold(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(-1)
	for _, c := range []struct {
		doc  any
		want string
	}{
		{jsonDocument{Stops: []jsonStop{{}, {LinePa: nan}}}, "JSON: stops[1].line_pa is NaN, which JSON cannot hold"},
		{&jsonDocument{Stops: []jsonStop{{Needed: &inf}}}, "JSON: stops[0].needed_pedal_n is -Inf, which JSON cannot hold"},
		{map[string]any{"curves": []any{1, embedding{jsonStop: jsonStop{LinePa: nan}}}}, "JSON: curves[1].line_pa is NaN, which JSON cannot hold"},
		{embedding{Any: []any{answer.None[si.Force](), answer.Of(si.Force(inf))}}, "JSON: any[1] is -Inf, which JSON cannot hold"},
		{embedding{Any: [2]float64{0, nan}}, "JSON: any[1] is NaN, which JSON cannot hold"},
		{nan, "JSON: the document is NaN, which JSON cannot hold"},
		{make(chan int), "JSON: json: unsupported type: chan int"},
	} {
		var b bytes.Buffer
		assert.EqualError(t, JSON(&b, stub{doc: c.doc}), c.want)
		assert.Zero(t, b.Len(), "nothing half written")
	}
}

type ring struct {
	Next *ring   `json:"next"`
	V    float64 `json:"v"`
}

func TestJSONOfARingEnds(t *testing.T) {
	r := &ring{}
	r.Next = r
	assert.ErrorContains(t, JSON(&bytes.Buffer{}, stub{doc: r}), "cycle")
}
