package cli

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/browsertest"
	"kneepoint/scenarios"
)

// sixtyFour are the parts of a choice with so many options.
const sixtyFour = `
[source]
vacuum = "14 inHg"
[choose]
boosters = ["8 in", "9 in", "10 in", "8 in + 8 in"]
bores = ["7/8 in", "15/16 in", "1 in", "1 1/8 in"]
reservoirs = ["0 L", "2 L"]
pumps = [false, true]
`

// BenchmarkOneFile reports how long the page with the program inside takes for what a
// person waits for; compare with a machine that has nothing else to do.
func BenchmarkOneFile(bench *testing.B) {
	path := onePage(bench)
	text, err := scenarios.Read("hard-pedal")
	require.NoError(bench, err)
	for _, c := range []struct{ verb, document string }{
		{"reserve", "[source]\n"}, {"choose", sixtyFour}, {"diagnose", string(text)},
	} {
		bench.Run(c.verb, func(bench *testing.B) {
			quoted, err := json.Marshal(c.document)
			require.NoError(bench, err)
			for bench.Loop() {
				b := browsertest.Open(bench)
				b.Visit("file://" + path)
				b.Wait(`document.body.dataset.time !== undefined`)
				got := browsertest.Eval[[3]float64](b, `(async () => {
					const opened = performance.now();
					await kneepoint("check", "[source]\n"); // the workers are there
					const begin = performance.now();
					const { options } = await kneepoint("`+c.verb+`", `+string(quoted)+`);
					return [opened / 1000, (performance.now() - begin) / 1000, options?.length ?? 64];
				})()`)
				assert.Equal(bench, 64.0, got[2])
				bench.ReportMetric(got[0], "s-to-first-press")
				bench.ReportMetric(got[1], "s-"+c.verb)
				b.Clean()
			}
		})
	}
}
