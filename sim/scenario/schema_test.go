package scenario_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/scenarios"
	"kneepoint/sim/scenario"
)

// schema compiles the schema, which checks it against that of JSON Schema 2020-12.
func schema(t *testing.T) *jsonschema.Schema {
	t.Helper()
	text, err := json.Marshal(scenario.Schema())
	require.NoError(t, err)
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	require.NoError(t, err)
	require.Equal(t, "https://json-schema.org/draft/2020-12/schema", doc.(map[string]any)["$schema"])
	c := jsonschema.NewCompiler()
	require.NoError(t, c.AddResource("scenario.json", doc))
	s, err := c.Compile("scenario.json")
	require.NoError(t, err)
	return s
}

// asJSON is a TOML document as an editor holds it against a schema.
func asJSON(t *testing.T, text string) any {
	t.Helper()
	var doc map[string]any
	require.NoError(t, toml.Unmarshal([]byte(text), &doc))
	data, err := json.Marshal(doc)
	require.NoError(t, err)
	out, err := jsonschema.UnmarshalJSON(bytes.NewReader(data))
	require.NoError(t, err)
	return out
}

// The schema takes every shipped scenario, in short and in full.
func TestSchemaTakesScenarios(t *testing.T) {
	s := schema(t)
	for _, name := range scenarios.Names() {
		text, err := scenarios.Read(name)
		require.NoError(t, err)
		assert.NoError(t, s.Validate(asJSON(t, string(text))), name)
		assert.NoError(t, s.Validate(asJSON(t, read(t, string(text)).Document())), name)
	}
	builtin, err := scenario.Builtin()
	require.NoError(t, err)
	assert.NoError(t, s.Validate(asJSON(t, builtin.Document())))
	for _, doc := range []string{
		"", "[booster]\n", "[booster]\ndiameter = \"8 in + 9 in\"\n", "[booster]\ndiameter = [\"8 in\", \"9 in\"]\n", "[pedal]\nratio = \"4.5 ± 0.2\"\n",
	} {
		assert.NoError(t, s.Validate(asJSON(t, doc)), doc)
	}
}

// What the schema refuses, reading refuses too.
func TestSchemaRefusesSlips(t *testing.T) {
	s := schema(t)
	for _, doc := range []string{
		"[booster]\ndiametre = \"9 in\"\n", "[boster]\ndiameter = \"9 in\"\n", "vacuum = \"18 inHg\"\n", "[pedal]\nratio = true\n",
		"[source]\nkind = \"motor\"\n", "[reserve]\nstops = 0\n", "[reserve]\nstops = 2.5\n", "[press]\nat = \"5 s\"\n",
		"[ambient]\naltitude = \"0 m\"\npressure = \"95 kPa\"\n", "[brake]\nkind = \"disc\"\n", "[[fault]]\nname = \"rust\"\nseverity = 1\n",
		"[booster]\ndiameter = \"large\"\n", "[booster]\ndiameter = [\"7 in\", \"8 in\", \"9 in\"]\n", "[manual]\npedal_ratio = 51\n",
	} {
		assert.Error(t, s.Validate(asJSON(t, doc)), doc)
		_, err := scenario.Read(strings.NewReader(doc), "slip")
		assert.Error(t, err, doc)
	}
}

// The schema names every key once, with its meaning, and the default that reading takes.
func TestSchemaIsTheTableOfKeys(t *testing.T) {
	var found []string
	var walk func(path string, node map[string]any)
	walk = func(path string, node map[string]any) {
		if items, several := node["items"].(map[string]any); several && items["properties"] != nil {
			node = items
		}
		properties, isTable := node["properties"].(map[string]any)
		if !isTable {
			found = append(found, path)
			assert.NotEmpty(t, node["description"], path)
			return
		}
		for name, below := range properties {
			walk(strings.TrimPrefix(path+"."+name, "."), below.(map[string]any))
		}
	}
	walk("", scenario.Schema())
	var want []string
	for _, k := range scenario.Keys() {
		want = append(want, k.Path)
	}
	assert.ElementsMatch(t, want, found)
	assert.Greater(t, len(want), 130)
}

// A word finds keys by name first, then by meaning, then by what it may have meant.
func TestListOf(t *testing.T) {
	paths := func(word string) []string {
		var out []string
		for _, k := range scenario.ListOf(word) {
			out = append(out, k.Path)
		}
		return out
	}
	assert.Len(t, paths(""), len(scenario.Keys()))
	assert.Equal(t, []string{"pedal.ratio"}, paths("pedal.ratio"))
	assert.Contains(t, paths("front volume"), "booster.front_volume")
	assert.Contains(t, paths("tandem"), "booster.diameter", "in its meaning")
	assert.Contains(t, paths("front-shell-leak"), "fault.name", "among its words")
	assert.Contains(t, paths("vaccum"), "source.vacuum", "misspelt")
	assert.Empty(t, paths("carburettor"))
}

// Every number that a user can set has limits, and they are those that refuse it.
func TestLimitsAreThoseOfTheCheck(t *testing.T) {
	for _, k := range scenario.Keys() {
		if k.Dim.String() == "" || k.Range == nil {
			continue
		}
		assert.NotEmpty(t, k.Limits(0), k.Path)
	}
	find := func(path string) scenario.Key {
		return scenario.ListOf(path)[0]
	}
	assert.Equal(t, "0.1 to 25", find("pedal.ratio").Limits(0))
	_, err := read(t, car).With("pedal.ratio", "51")
	assert.ErrorContains(t, err, "want 0.1 to 25")
}
