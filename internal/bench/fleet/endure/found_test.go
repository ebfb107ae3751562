package main

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
)

// Cars finish in any order; what is left to do begins with the first that has not.
func TestWhatIsLeftAfterAnInterrupt(t *testing.T) {
	f := &found{seed: 3, end: 6, finished: map[int]bool{}, began: time.Now()}
	for range 5 {
		f.take()
	}
	f.add(outcome{car: 1, steps: 10, took: 2})
	f.add(outcome{car: 0, steps: 30, took: 1})
	f.add(outcome{car: 4, steps: 20, took: 3, failed: errors.New("no luck")})
	report := f.report()
	assert.Contains(t, report, "- car 4: no luck\n")
	assert.Contains(t, report, "3 random cars from 0 on")
	assert.Contains(t, report, "1 failures\n")
	assert.Contains(t, report, "most steps: car 0, 30 steps")
	assert.Contains(t, report, "slowest: car 4")
	assert.Contains(t, report, "to go on: -seed 3 -first 2 -n 4\n")
}

func TestHardestCarsCanBeRunAgain(t *testing.T) {
	f := &found{seed: 3, end: 3, finished: map[int]bool{}, began: time.Now()}
	f.drive(t.Context())
	assert.Equal(t, 3, f.cars)
	assert.NotContains(t, f.report(), "to go on")
	folder := filepath.Join(t.TempDir(), "hard")
	require.NoError(t, f.write(folder))
	for _, name := range []string{"most-steps.toml", "slowest.toml"} {
		s, err := scenario.Open(filepath.Join(folder, name), os.Stdin)
		require.NoError(t, err)
		assert.NotEmpty(t, s.Presses)
	}
}
