package study

import (
	"context"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// geometries is how many random geometries each closed form is held to.
func geometries() uint64 { return uint64(carsOf(60, 20)) }

// A simulated curve lies where the booster's equilibrium, worked out by hand,
// says: knee, slope of the power line, slope beyond it. At the ramp of slowRamp
// the knee lies later than the closed form by some newtons, for which the air
// valve has to be open to feed the chamber.
func TestCurveLiesOnTheClosedForms(t *testing.T) {
	t.Parallel()
	var kneeOff, slopeOff, runOutOff spread
	held := 0
	for seed := range geometries() {
		c := geometry(seed)
		b := &c.Booster
		f, err := forceCurve(context.Background(), c)
		require.NoError(t, err, "geometry %d", seed)
		if bottomed(&c, f) {
			continue
		}
		if !f.Knee.Input.Exists() || float64(f.Knee.Output.Value()) < 2.5*float64(b.JumpIn) {
			continue
		}
		held++
		// The equilibrium at the knee: all of the vacuum on the diaphragm.
		hub := where(f.pressingFine, inputOf, hubOf, float64(f.Knee.Input.Value()))
		front := where(f.pressingFine, inputOf, frontVacuumOf, float64(f.Knee.Input.Value()))
		i, cut := float64(b.Ratio), float64(b.CutIn)
		help := front*float64(b.Area) - float64(b.Spring) - float64(b.SpringRate)*hub
		knee := (help + i*cut - float64(b.JumpIn)) / (i - 1)
		if assert.NotNil(t, f.ClosedForm) {
			assert.InDelta(t, knee, float64(f.ClosedForm.KneeInput), 1, "geometry %d", seed)
			assert.InDelta(t, knee+help, float64(f.ClosedForm.KneeOutput), 3, "geometry %d", seed)
		}
		kneeOff.add(float64(f.Knee.Input.Value())/knee - 1)
		assert.InEpsilon(t, knee, float64(f.Knee.Input.Value()), 0.02, "geometry %d: knee", seed)
		slopeOff.add(float64(f.Ratio.Value())/i - 1)
		assert.InEpsilon(t, i, float64(f.Ratio.Value()), 0.015, "geometry %d: power line", seed)
		// Beyond the knee the hub's spring is all that the foot works against
		// besides the output: the output's own springs are in series with it.
		output := hydraulicStiffness(&c) + float64(c.Master.SpringRate)
		runOut := 1 / (1 + float64(b.SpringRate)/output)
		runOutOff.add(float64(f.RunOutSlope.Value())/runOut - 1)
		assert.InEpsilon(t, runOut, float64(f.RunOutSlope.Value()), 0.002, "geometry %d: run-out", seed)
	}
	t.Logf("%d of %d geometries; off by: knee %s, slope %s, run-out slope %s", held, geometries(), kneeOff, slopeOff, runOutOff)
	assert.Greater(t, held, int(geometries())/2, "or there is little to hold")
}

// Without vacuum the booster's own spring is all there is between foot and
// master cylinder: output = input - spring, once the plunger bears on the hub.
// What the hub pushes out of the front chamber has to open the check valve,
// which holds it back by some newtons more; with the chambers' true pressures
// the balance is met closely.
func TestWithoutVacuumTheFootMovesEverything(t *testing.T) {
	// The most that the check valve keeps: it opens by 0.3 kPa, fully 2 kPa later.
	const kept = 0.5e3
	// The plunger bears on the hub 2.4 mm ahead of its place at rest.
	const bears = 2.4e-3
	var plain, balance spread
	points := 0
	for seed := range geometries() / 2 {
		c := geometry(seed)
		c.Source.Vacuum = 0
		f, err := forceCurve(context.Background(), c)
		require.NoError(t, err, "geometry %d", seed)
		assert.False(t, f.Knee.Pedal.Exists(), "geometry %d: no knee without help", seed)
		assert.False(t, f.Ratio.Exists(), "geometry %d", seed)
		assert.True(t, f.CutIn.Pedal.Exists(), "geometry %d", seed)
		b := &c.Booster
		for _, s := range f.pressingFine {
			if s.Plunger-s.Hub < bears || s.Output < 100 || s.Hub > 0.98*b.Stroke {
				continue
			}
			points++
			want := float64(s.Input) - float64(b.Spring) - float64(b.SpringRate)*float64(s.Hub)
			off := float64(s.Output) - want
			plain.add(off)
			require.LessOrEqual(t, off, 3.0, "geometry %d at %v", seed, s.Input)
			require.GreaterOrEqual(t, off, -3-kept*float64(b.Area), "geometry %d at %v", seed, s.Input)
			air := float64(s.FrontVacuum)*float64(b.Area) - float64(s.WorkingVacuum)*float64(b.Area-b.TailArea)
			balance.add(off - air)
			require.InDelta(t, 0, off-air, 3, "geometry %d at %v", seed, s.Input)
		}
	}
	t.Logf("%d points; output off by %+.1f to %+.1f N, with the chambers' pressures by %+.1f to %+.1f N",
		points, plain.least, plain.most, balance.least, balance.most)
	assert.Greater(t, points, 10_000)
}

// With little vacuum the booster adds a push and multiplies nothing: there is no
// power line, and so no ratio and no knee. In between the fit begins past the jump-in.
func TestCurveWithLittleVacuum(t *testing.T) {
	for _, c := range []struct {
		vacuum    string
		knee      bool
		leastKnee float64
	}{
		{"0 kPa", false, 0},
		{"5 kPa", false, 0},
		{"10 kPa", false, 0},
		{"20 kPa", true, 120},
		{"30 kPa", true, 200},
	} {
		t.Run(c.vacuum, func(t *testing.T) {
			s := typical(t, "source.kind=bench", "source.vacuum="+c.vacuum)
			f := curveOf(t, s)
			assert.True(t, f.Vacuum.Exists(), "a vacuum of nothing is a vacuum")
			assert.Equal(t, c.knee, f.Knee.Input.Exists(), "knee %v", f.Knee)
			assert.Equal(t, c.knee, f.Knee.Line.Exists())
			assert.Equal(t, c.knee, f.Ratio.Exists(), "ratio %v", f.Ratio)
			assert.Equal(t, c.knee, f.JumpIn.Output.Exists())
			assert.Equal(t, c.knee, f.Hysteresis.Exists())
			if c.knee {
				assert.Greater(t, float64(f.Knee.Input.Value()), c.leastKnee)
				assert.InEpsilon(t, float64(s.Config.Booster.Ratio), float64(f.Ratio.Value()), 0.05)
			}
		})
	}
}

// Less vacuum never raises the knee, and never the output force at any pedal
// force. (The line pressure of the power line does rise a little: less vacuum in
// the front chamber draws less on the master cylinder's piston.)
func TestLessVacuumIsNeverMoreHelp(t *testing.T) {
	t.Parallel()
	for seed := range geometries() / 6 {
		c := geometry(seed)
		knee, output := math.Inf(1), map[si.Force]float64{}
		for _, v := range []si.Vacuum{75e3, 60e3, 45e3, 30e3, 20e3, 10e3, 5e3, 0} {
			f, err := forceCurve(context.Background(), at(c, v))
			require.NoError(t, err, "geometry %d", seed)
			if f.Knee.Output.Exists() {
				assert.LessOrEqual(t, float64(f.Knee.Output.Value()), knee, "geometry %d at %v", seed, v)
				knee = float64(f.Knee.Output.Value())
			}
			for force := si.Force(50); force <= 500; force += 50 {
				out := where(f.pressingFine, pedalOf, outputOf, float64(force))
				if before, ok := output[force]; ok {
					assert.LessOrEqual(t, out, before+2, "geometry %d at %v and %v", seed, v, force)
				}
				output[force] = out
			}
		}
	}
}

// spread is the range of a series of values.
type spread struct {
	least, most float64
	some        bool
}

func (s *spread) add(v float64) {
	if !s.some {
		*s = spread{v, v, true}
	}
	s.least, s.most = min(s.least, v), max(s.most, v)
}

func (s spread) String() string { return fmt.Sprintf("%+.2f to %+.2f %%", 100*s.least, 100*s.most) }

func hubOf(s sim.State) float64         { return float64(s.Hub) }
func frontVacuumOf(s sim.State) float64 { return float64(s.FrontVacuum) }
