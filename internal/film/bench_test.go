package film

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// BenchmarkFilm makes whole films as the verb does when nothing else is asked for.
func BenchmarkFilm(b *testing.B) {
	for _, of := range Subjects() {
		b.Run(string(of), func(b *testing.B) {
			for b.Loop() {
				s, err := scenario.Open("../../scenarios/stock-ten-inch.toml", nil)
				require.NoError(b, err)
				f, err := New(b.Context(), s, Options{Of: of, Rate: UsualRate, Width: UsualWidth})
				require.NoError(b, err)
				var out bytes.Buffer
				require.NoError(b, f.WriteGIF(b.Context(), &out))
				require.LessOrEqual(b, f.Length, UsualMost)
				require.Less(b, out.Len(), 10_000_000)
				b.ReportMetric(float64(f.Pictures()), "pictures")
				b.ReportMetric(float64(out.Len()), "bytes")
			}
		})
	}
}

func BenchmarkStill(b *testing.B) {
	s := open(b, "stock-ten-inch")
	for b.Loop() {
		_, err := Still(b.Context(), s, 100, si.US, "", "still")
		require.NoError(b, err)
	}
}
