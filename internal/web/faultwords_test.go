package web

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
)

// Every fault that the model knows has its words in the page and its place on a part that is
// drawn there, and nothing else has.
func TestFaultsHaveTheirWordsAndPlaces(t *testing.T) {
	var faults []string
	for _, name := range sim.FaultNames() {
		faults = append(faults, string(name))
	}
	words := stringsOf(t, "page/words.js", "faultNames")
	seats := stringsOf(t, "page/parts.js", "seatOf")
	assert.ElementsMatch(t, faults, keysOf(words), "words.js")
	assert.ElementsMatch(t, faults, keysOf(seats), "parts.js")
	said := map[string]string{}
	for _, w := range words {
		assert.Empty(t, said[w[1]], "%s and another fault have the same words", w[0])
		said[w[1]] = w[0]
	}
	script, err := os.ReadFile("page/parts.js")
	require.NoError(t, err)
	var parts []string
	for _, m := range regexp.MustCompile(`\bid: "([a-z-]+)"`).FindAllSubmatch(script, -1) {
		parts = append(parts, string(m[1]))
	}
	require.NotEmpty(t, parts)
	for _, seat := range seats {
		assert.True(t, slices.Contains(parts, seat[1]), "%s is placed on %q, which is no part", seat[0], seat[1])
	}
}

// stringsOf are key and value of every entry of an object of strings that a script exports.
func stringsOf(t *testing.T, path, name string) [][2]string {
	t.Helper()
	script, err := os.ReadFile(path)
	require.NoError(t, err)
	object := regexp.MustCompile(`(?s)export const ` + name + ` = \{(.*?)\n\};`).FindSubmatch(script)
	require.NotNil(t, object, "%s has no %s", path, name)
	entry := regexp.MustCompile(`"([^"]+)": "([^"]+)",?\s*`)
	assert.Empty(t, strings.TrimSpace(entry.ReplaceAllString(string(object[1]), "")), "%s has more in %s than strings", path, name)
	var out [][2]string
	for _, m := range entry.FindAllSubmatch(object[1], -1) {
		out = append(out, [2]string{string(m[1]), string(m[2])})
	}
	return out
}

func keysOf(entries [][2]string) []string {
	var out []string
	for _, e := range entries {
		out = append(out, e[0])
	}
	return out
}
