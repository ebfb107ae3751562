package diagnose

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where a fault moves no reading it moves no slope either, and between two severities that
// read alike it reads like both: both are not simulated, so they are here.
func TestSlopesOfWhatIsNotMoved(t *testing.T) {
	if testing.Short() {
		t.Skip("it simulates many cars")
	}
	t.Parallel()
	l := library(t)
	every := l.every()
	slope, mean := 0.0, 0.0
	for f := range l.faults {
		for k, s := range l.faults[f].breakpoints() {
			p := &l.faults[f].points[k]
			var skipped []int
			for _, i := range every {
				if math.IsNaN(p.mean[i]) && !math.IsNaN(l.sound.mean[i]) {
					skipped = append(skipped, i)
				}
			}
			car := soundCar.with(0, f, s)
			read, err := l.outcomes(t.Context(), car, skipped)
			require.NoError(t, err)
			at := l.outcomesAt(f, s)
			for j, i := range skipped {
				half, _ := l.trials[i].Gauge()
				off := math.Abs(finite(read[j]-at[i])) / half
				mean = max(mean, off)
			}
			if !slices.Contains(l.faults[f].slopesAt(), s) {
				continue
			}
			for n := range nuisances {
				var same []int
				for _, i := range every {
					if !math.IsNaN(p.mean[i]) && !l.moves(i, l.sound.mean[i], p.mean[i]) {
						same = append(same, i)
					}
				}
				read, err := l.outcomes(t.Context(), car.moved(n), same)
				require.NoError(t, err)
				for j, i := range same {
					tr := l.trials[i]
					off := tr.Felt(read[j]-p.mean[i]) - l.sound.slope[i][n]
					slope = max(slope, math.Abs(off)/math.Sqrt(tr.Scatter(0)))
				}
			}
		}
	}
	t.Logf("means off by at most %.3f half widths, slopes by %.3f standard deviations of a reading", mean, slope)
	assert.Less(t, mean, 0.1, "in half widths of a gauge's error")
	assert.Less(t, slope, 0.1, "in standard deviations of a reading")
}
