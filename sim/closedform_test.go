package sim_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// slowRamp is the time of the ramps held against closed forms, which know no
// time: at 80 s the valve opens by 20-50 µm to feed the chamber, and they are
// missed by no more than some newtons.
const slowRamp si.Time = 80

// press is one point of a curve of output against input.
type press struct{ in, out, front, hub, line, working float64 }

// curveOf presses a car slowly to an input force and returns the curve.
func curveOf(t *testing.T, c sim.Config, input float64) []press {
	t.Helper()
	pedal := si.Force(input) / si.Force(c.Pedal.Ratio*c.Pedal.Efficiency)
	out := run(t, c, sim.Schedule{
		Presses: []sim.Press{{At: 0, Pedal: pedal, Press: slowRamp, Hold: 1, Release: 1}},
		Until:   slowRamp,
	})
	var curve []press
	for _, x := range out.Every(0.05) {
		curve = append(curve, press{
			float64(x.Input), float64(x.Output), float64(x.FrontVacuum), float64(x.Hub), float64(x.LineFront), float64(x.WorkingVacuum),
		})
	}
	return curve
}

// fit is the straight line through the points with an input between two.
func fit(t *testing.T, curve []press, from, to float64) (slope, atZero float64) {
	t.Helper()
	var n, sx, sy, sxx, sxy float64
	for _, p := range curve {
		if p.in >= from && p.in <= to {
			n, sx, sy, sxx, sxy = n+1, sx+p.in, sy+p.out, sxx+p.in*p.in, sxy+p.in*p.out
		}
	}
	require.Greater(t, n, 9.0, "no curve between %.0f and %.0f N", from, to)
	slope = (n*sxy - sx*sy) / (n*sxx - sx*sx)
	return slope, (sy - slope*sx) / n
}

// at returns the point of a curve next to an input.
func at(curve []press, in float64) press {
	for _, p := range curve {
		if p.in >= in {
			return p
		}
	}
	return curve[len(curve)-1]
}

// frictionless is a car on a bench whose seals do not drag: the closed forms
// leave friction out.
func frictionless(vacuum si.Vacuum, b sim.Booster) sim.Config {
	c := bench(vacuum)
	c.Booster = b
	c.Booster.Friction = 0
	c.Master.Friction = 0
	return c
}

// TestSlowCurveFollowsClosedForms holds the boosted line, the knee and the slope
// beyond it against what follows from the balance of forces by hand:
//
//	F_o = J + i (F_i - F_a)
//	F_i,k = [(p_a - p_F) A_d - F_spring + i F_a - J]/(i - 1)
//	slope beyond = 1/(1 + k_spring/(A_mc² dP/dV))
//
// F_a is the cut-in with what the spring gains while the plunger goes to lap.
func TestSlowCurveFollowsClosedForms(t *testing.T) {
	for _, row := range []struct {
		booster sim.Booster
		ratio   si.Ratio
		vacuum  si.Vacuum
	}{
		{sim.BoosterOf(0.254), 5, 66.7e3},
		{sim.BoosterOf(0.254), 8.5, 66.7e3},
		{sim.BoosterOf(0.254), 3.5, 50e3},
		{sim.BoosterOf(0.205, 0.230), 6, 80e3},
		{sim.BoosterOf(0.178), 4, 60e3},
	} {
		row.booster.Ratio = row.ratio
		c := frictionless(row.vacuum, row.booster)
		b, i := &c.Booster, float64(row.ratio)
		cutIn := float64(b.CutIn) + 3
		guess := (float64(row.vacuum)*float64(b.Area) - 200 + i*cutIn - float64(b.JumpIn)) / (i - 1)
		curve := curveOf(t, c, 1.6*guess)

		slope, atZero := fit(t, curve, max(0.3*guess, cutIn+30), 0.7*guess)
		assert.InEpsilon(t, i, slope, 0.005, "boosted slope, %+v", row.ratio)
		mid := guess / 2
		assert.InDelta(t, float64(b.JumpIn)+i*(mid-cutIn), slope*mid+atZero, 5*i, "boosted line within 5 N of input, %+v", row.ratio)

		beyond, beyondZero := fit(t, curve, 1.15*guess, 1.55*guess)
		knee := (beyondZero - atZero) / (slope - beyond)
		p := at(curve, knee)
		spring := float64(b.Spring) + float64(b.SpringRate)*p.hub
		want := (p.front*float64(b.Area) - spring + i*cutIn - float64(b.JumpIn)) / (i - 1)
		assert.InDelta(t, want, knee, 6, "knee, %+v", row.ratio)

		bore := 3.141592653589793 / 4 * float64(c.Master.Bore*c.Master.Bore)
		// Both circuits take fluid from the travel, and the cylinder a little.
		fluid := float64(c.Front.Compliance+c.Rear.Compliance) + 0.02e-12
		wantBeyond := 1 / (1 + float64(b.SpringRate)*fluid/(bore*bore))
		assert.InDelta(t, wantBeyond, beyond, 1e-3, "run-out slope, %+v", row.ratio)
		assert.Greater(t, wantBeyond, 0.98)
		t.Logf("i %.1f at %.1f kPa: slope %.3f, knee %.1f N (closed form %.1f), beyond %.4f (%.4f)",
			i, float64(row.vacuum)/1e3, slope, knee, want, beyond, wantBeyond)
	}
}

// Without vacuum the foot pushes through: F_o = F_i - F_spring, once the plunger
// is on the bottom. The front chamber's air has to open the check valve on its
// way out, and some 0.4 kPa stay in there: they push back.
func TestNoVacuumLine(t *testing.T) {
	c := frictionless(0, sim.BoosterOf(0.254))
	curve := curveOf(t, c, 3000)
	for _, in := range []float64{1000, 1500, 2000, 2900} {
		p := at(curve, in)
		spring := float64(c.Booster.Spring) + float64(c.Booster.SpringRate)*p.hub
		assert.InDelta(t, -400, p.front, 100, "at %.0f N", in)
		held := -p.front * float64(c.Booster.Area)
		assert.InDelta(t, p.in-spring-held, p.out, 1, "at %.0f N", in)
	}
	for _, p := range curve {
		assert.LessOrEqual(t, p.out, max(0, p.in)+1, "more than was put in, at %.0f N", p.in)
	}
}
