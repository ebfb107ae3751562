package web

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/browsertest"
	"kneepoint/scenarios"
)

// Whatever has become of a link on its way, the page reads a text out of it or refuses it in
// words of its own; what still opens is a document that the server takes or refuses.
func TestAnyFragmentIsReadOrRefused(t *testing.T) {
	b := openPage(t, serving(t, nil).URL(), wide, tall)
	text, err := scenarios.Read("which-booster")
	require.NoError(t, err)
	whole := packed(t, string(text))
	rng := rand.New(rand.NewPCG(21, 4))
	const letters = "ABCXYZabcxyz0189-_+/=%#! \u00e9\u0000"
	fragments := []string{whole, "#car=A", "#car=AA", "#car=AAA", "#car====="}
	for range 1000 {
		link := []rune(whole)
		for range 1 + rng.IntN(4) {
			at := len("#car=") + rng.IntN(len(link)-len("#car="))
			switch rng.IntN(4) {
			case 0:
				link[at] = []rune(letters)[rng.IntN(len([]rune(letters)))]
			case 1:
				link = append(link[:at:at], link[at+1:]...)
			case 2:
				link = append(link[:at:at], append([]rune{'A' + rng.Int32N(26)}, link[at:]...)...)
			default:
				link = link[:at+1]
			}
			if len(link) == len("#car=") {
				break
			}
		}
		fragments = append(fragments, string(link))
	}
	asked, err := json.Marshal(fragments)
	require.NoError(t, err)
	type reply struct {
		Read, Refused int
		Odd           []string
		Texts         []string
	}
	got := browsertest.Eval[reply](b, fmt.Sprintf(`import("/link.js").then(async ({ unpack }) => {
		const out = { Read: 0, Refused: 0, Odd: [], Texts: [] };
		for (const f of %s) {
			try {
				const { name, text } = await unpack(f);
				if (name !== "link" || typeof text !== "string") out.Odd.push(f);
				else out.Texts.push(text);
				out.Read++;
			} catch (e) {
				out.Refused++;
				if (!(e.message ?? "").startsWith("link: read ")) out.Odd.push(f + ": " + e);
			}
		}
		return out;
	})`, asked))
	assert.Empty(t, got.Odd)
	assert.Equal(t, len(fragments), got.Read+got.Refused)
	assert.Positive(t, got.Read)
	assert.Greater(t, got.Refused, len(fragments)/2)
	c := newClient(t, nil)
	for _, read := range got.Texts {
		body, err := json.Marshal(openRequest{Name: "link", Text: read})
		require.NoError(t, err)
		w := c.do(newRequest("POST", "/api/drives", string(body)))
		assert.Contains(t, []int{201, 422}, w.Code, "%s: %q", w.Body, read)
		c.drives.mu.Lock()
		clear(c.drives.open)
		c.drives.mu.Unlock()
	}
	t.Logf("%d read, %d refused", got.Read, got.Refused)
	b.Clean()
}
