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
	quoted := func(text string) string {
		q, err := json.Marshal(text)
		require.NoError(bench, err)
		return string(q)
	}
	type times struct{ Open, Reserve, Choose, Diagnose, Options float64 }
	for bench.Loop() {
		b := browsertest.Open(bench)
		b.Visit("file://" + path)
		b.Wait(`document.body.dataset.time !== undefined`)
		got := browsertest.Eval[times](b, `(async () => {
			const out = { Open: performance.now() / 1000 };
			const timed = async (name, verb, document) => {
				const begin = performance.now();
				const answer = await kneepoint(verb, document);
				out[name] = (performance.now() - begin) / 1000;
				return answer;
			};
			await kneepoint("check", "[source]\n");
			await timed("Reserve", "reserve", "[source]\n");
			out.Options = (await timed("Choose", "choose", `+quoted(sixtyFour)+`)).options.length;
			await timed("Diagnose", "diagnose", `+quoted(string(text))+`);
			return out;
		})()`)
		assert.Equal(bench, 64.0, got.Options)
		bench.ReportMetric(got.Open, "s-to-first-press")
		bench.ReportMetric(got.Reserve, "s-reserve")
		bench.ReportMetric(got.Choose, "s-choose-64")
		bench.ReportMetric(got.Diagnose, "s-diagnose-5")
		b.Clean()
	}
}
