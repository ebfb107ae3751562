package cli

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// cases are the cars of the scripts testdata/script/case-*, by script and file.
func cases(t *testing.T) map[string]string {
	t.Helper()
	scripts, err := filepath.Glob(filepath.Join("..", "..", "testdata", "script", "case-*.txtar"))
	require.NoError(t, err)
	found := map[string]string{}
	for _, script := range scripts {
		archive, err := txtar.ParseFile(script)
		require.NoError(t, err)
		for _, f := range archive.Files {
			name := strings.TrimSuffix(filepath.Base(script), ".txtar") + "/" + f.Name
			found[name] = string(f.Data)
		}
	}
	require.GreaterOrEqual(t, len(found), 10)
	return found
}

// carFile writes a car to a file of its own.
func carFile(t *testing.T, text string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "car.toml")
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	return file
}

// asked is the JSON that a verb answers with.
func asked[T any](t *testing.T, verb string, args ...string) T {
	t.Helper()
	status, stdout, stderr := run(t, append([]string{verb, "--format", "json"}, args...)...)
	require.Equal(t, done, status, stderr)
	var doc T
	require.NoError(t, json.Unmarshal([]byte(stdout), &doc))
	return doc
}

type lockDocument struct {
	Deceleration *float64 `json:"deceleration_mps2"`
	Pedal        *float64 `json:"pedal_n"`
}

type curveDocument struct {
	HardStop lockDocument `json:"hard_stop"`
	Curves   []struct {
		HardStop lockDocument `json:"hard_stop"`
	} `json:"curves"`
}

// The hard stop of a customer's car takes the same foot whichever verb is asked: curve
// says what it takes, reserve makes a stop of that deceleration with the engine idling,
// balance and failures press until a wheel locks. A pump's curves are for a vacuum that
// is held, and are left out.
func TestCasesHardStop(t *testing.T) {
	t.Parallel()
	for name, text := range cases(t) {
		if strings.Contains(text, "[pump]") {
			continue
		}
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			file := carFile(t, text)
			hard := asked[curveDocument](t, "curve", file).HardStop
			require.NotNil(t, hard.Deceleration)

			balance := asked[struct {
				Cases []struct {
					FirstLock lockDocument `json:"first_lock"`
				} `json:"cases"`
			}](t, "balance", file).Cases[0].FirstLock
			reserve := asked[struct {
				Stops []struct {
					Needed *float64 `json:"needed_pedal_n"`
				} `json:"stops"`
			}](t, "reserve", file, "--set", "reserve.engine=idle", "--set", "reserve.stops=1",
				"--set", fmt.Sprintf("reserve.deceleration=%.9g m/s2", *hard.Deceleration)).Stops[0].Needed
			failures := asked[struct {
				Cases []struct {
					Best lockDocument `json:"best_without_lock"`
				} `json:"cases"`
			}](t, "failures", file).Cases[0].Best

			if hard.Pedal == nil {
				assert.Nil(t, balance.Pedal)
				assert.Nil(t, reserve)
				assert.Less(t, *failures.Deceleration, *hard.Deceleration)
				return
			}
			require.NotNil(t, balance.Pedal)
			require.NotNil(t, reserve)
			assert.InEpsilon(t, *hard.Pedal, *balance.Pedal, 0.01, "balance")
			assert.InEpsilon(t, *hard.Pedal, *reserve, 0.01, "reserve")
			const legal = 500 // N, the most that failures presses
			if *hard.Pedal < 0.99*legal {
				assert.InEpsilon(t, *hard.Pedal, *failures.Pedal, 0.01, "failures")
				assert.InEpsilon(t, *hard.Deceleration, *failures.Deceleration, 0.01, "failures")
			} else if *hard.Pedal > 1.01*legal {
				assert.Less(t, *failures.Deceleration, *hard.Deceleration)
			}
		})
	}
}

// Nobody is told to fit parts of which curve then says, on the same car, that the hard
// stop is beyond many drivers or out of reach.
func TestCasesRecommendedPartsAreEnough(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("a choice for every car")
	}
	for name, text := range cases(t) {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			best := asked[struct {
				Recommended *struct {
					Booster   string   `json:"booster"`
					Reservoir float64  `json:"reservoir_m3"`
					Pump      bool     `json:"pump"`
					Bore      float64  `json:"bore_m"`
					Manual    *float64 `json:"manual_pedal_ratio"`
				} `json:"recommended"`
			}](t, "choose", carFile(t, text)).Recommended
			require.NotNil(t, best)
			require.Nil(t, best.Manual, "the test fits boosters only")
			if before, after, pumped := strings.Cut(text, "[pump]\n"); pumped && !best.Pump {
				_, rest, more := strings.Cut(after, "\n[")
				require.True(t, more)
				text = before + "[" + rest
			} else {
				require.Equal(t, pumped, best.Pump, "the test fits no pump")
			}
			sizes := strings.Split(best.Booster, " + ")
			curve := asked[curveDocument](t, "curve", carFile(t, text),
				"--set", "booster.kind=vacuum",
				"--set", `booster.diameter=["`+strings.Join(sizes, `", "`)+`"]`,
				"--set", fmt.Sprintf("master.bore=%.9g m", best.Bore),
				"--set", fmt.Sprintf("reservoir.volume=%.9g m3", best.Reservoir))
			stops := []lockDocument{curve.HardStop}
			if len(curve.Curves) > 0 {
				stops = stops[:0]
				for _, c := range curve.Curves {
					stops = append(stops, c.HardStop)
				}
			}
			for _, s := range stops {
				require.NotNil(t, s.Pedal, "out of reach")
				assert.Less(t, *s.Pedal, 100*4.4482216, "beyond 100 lbf (common practice, no source)")
			}
		})
	}
}
