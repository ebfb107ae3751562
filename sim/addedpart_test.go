package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/ode"
	"kneepoint/sim/si"
)

// A part that the car does not have: a second tank beside the first, joined to it
// by a fitting. This is all there is to it.
func secondTank(air Ambient, volume si.Volume, fitting float64) part {
	ambient, warm := float64(air.Pressure), float64(air.Temperature)
	return func(p *plant) {
		tank := p.net.newGas("second tank", float64(volume), 0, ambient, warm, nowhere)
		p.net.walls(tank, tankWalls, p.net.still(ambient, warm).t)
		p.net.connect(newPassage(p.tank.end(), tank.end(), opening(fitting)))
	}
}

const (
	firstVolume, secondVolume si.Volume = 1e-3, 2e-3

	wideFitting = 200e-6 // m²
)

func tankCar(volume si.Volume) Config {
	c := Typical()
	c.Reservoir = Reservoir{Volume: volume, Place: PlaceEngineSide, InletValve: true}
	return c
}

// TestOneLineFitsAPart wires the second tank into the car with one line, and it is
// held to what every part is: derivatives that meet differences, air that is kept,
// and here that it is the same as so much more of the first tank.
func TestOneLineFitsAPart(t *testing.T) {
	c := tankCar(firstVolume)
	tank := fitted(secondTank(c.Ambient, secondVolume, wideFitting))

	m, account := withAccounts(t, c, DefaultTolerance, tank)
	start, worst, moved := math.NaN(), 0.0, 0.0
	drive(t, m, everything(), func(x *Session) {
		now := m.plant.airMass(x.y) - x.y[account.mass]
		if math.IsNaN(start) {
			start = now
		}
		worst, moved = max(worst, math.Abs(now-start)), max(moved, math.Abs(x.y[account.mass]))
	})
	assert.Greater(t, moved, 0.0)
	assert.Less(t, worst, 1e-12*(math.Abs(start)+moved))

	m, err := New(c, tank)
	require.NoError(t, err)
	run, err := m.Run(t.Context(), everything())
	require.NoError(t, err)
	assert.Less(t, worstSlope(t, m, run), 1e-4)

	larger, err := New(tankCar(firstVolume + secondVolume))
	require.NoError(t, err)
	smaller, err := New(tankCar(firstVolume))
	require.NoError(t, err)
	want, got, without := stopsWithEngineOff(t, larger), stopsWithEngineOff(t, m), stopsWithEngineOff(t, smaller)
	for i := range want {
		// The two tanks have more wall between them, which shows as long as the air is cool.
		assert.InDelta(t, want[i], got[i], 100, "vacuum after stop %d", i+1)
		assert.Greater(t, got[i], without[i]+1e3, "and it is felt")
	}
}

// TestOneLineFitsALink is the same for a link: a hole between the chambers is what
// a torn diaphragm is.
func TestOneLineFitsALink(t *testing.T) {
	const hole = 3e-6
	c := tankCar(firstVolume)
	m, err := New(c, fitted(func(p *plant) { p.net.connect(newPassage(p.rear.end(), p.front.end(), opening(hole))) }))
	require.NoError(t, err)
	c.Faults = []Fault{{Name: FaultDiaphragmTorn, Area: hole}}
	torn, err := New(c)
	require.NoError(t, err)
	want, got := stopsWithEngineOff(t, torn), stopsWithEngineOff(t, m)
	assert.InDeltaSlice(t, want, got, 10*DefaultTolerance*float64(c.Ambient.Pressure))
}

// stopsWithEngineOff returns the vacua, in Pa, after three stops.
func stopsWithEngineOff(t *testing.T, m *Model) []float64 {
	t.Helper()
	s := m.Start()
	require.NoError(t, s.Settle(t.Context(), EngineIdle))
	s.Engine(EngineOff)
	require.NoError(t, s.Advance(t.Context(), 2))
	var vacua []float64
	for range 3 {
		s.Plan(Press{At: s.Time(), Pedal: 150, Press: 0.3, Hold: 2, Release: 0.3})
		require.NoError(t, s.Advance(t.Context(), 15))
		vacua = append(vacua, float64(s.State().FrontVacuum))
	}
	return vacua
}

// worstSlope compares the Jacobian with differences along a run, but for corners.
func worstSlope(t *testing.T, m *Model, run *Trajectory) float64 {
	t.Helper()
	p, worst, count := m.plant, 0.0, 0
	y := make([]float64, p.net.Size())
	for k, span := range run.spans {
		last := len(run.segments)
		if k+1 < len(run.spans) {
			last = run.spans[k+1].first
		}
		p.in = span.in
		for _, seg := range run.segments[span.first:last] {
			seg.At(seg.T1, y)
			if atBrakeCorner(p, y) || atTurn(p, seg.T1, y) {
				continue
			}
			dev, _, err := ode.CheckJacobian(p.net, seg.T1, y, steps(p.net))
			require.NoError(t, err)
			worst = max(worst, dev)
			count++
		}
	}
	require.Greater(t, count, 500)
	return worst
}

// secondHose is another part: a hose of the car's own size from the manifold to the
// front chamber, with a check valve of its own.
func secondHose(c Config) part {
	ambient, warm := float64(c.Ambient.Pressure), float64(c.Ambient.Temperature)
	return func(p *plant) {
		area := float64(c.Hose.Area) * seriesOfTwo
		hose := p.net.newGas("second hose", float64(c.Hose.Volume), 0, ambient, warm, nowhere)
		p.net.walls(hose, hoseWalls, p.net.still(ambient, warm).t)
		p.net.connect(
			newPassage(hose.end(), p.manifold.end(), opening(area)),
			newPassage(p.front.end(), hose.end(), newCheckValve(p.front.p, hose.p, area)),
		)
	}
}

// TestOneLineFitsAHose holds that two hoses are one of twice the opening, and that a
// single one is slower.
func TestOneLineFitsAHose(t *testing.T) {
	c := Typical()
	two, err := New(c, fitted(secondHose(c)))
	require.NoError(t, err)
	run, err := two.Run(t.Context(), everything())
	require.NoError(t, err)
	assert.Less(t, worstSlope(t, two, run), 1e-4)

	one, err := New(c)
	require.NoError(t, err)
	c.Hose.Area, c.Hose.Volume = 2*c.Hose.Area, 2*c.Hose.Volume
	wide, err := New(c)
	require.NoError(t, err)
	want, got, single := refilling(t, wide), refilling(t, two), refilling(t, one)
	for i := range want {
		assert.InDelta(t, want[i], got[i], 100, "sample %d", i)
	}
	assert.Greater(t, got[1], single[1]+1e3, "and it is felt")
}

// refilling returns the vacua, in Pa, of a booster at idle as the pedal is let go.
func refilling(t *testing.T, m *Model) []float64 {
	t.Helper()
	s := m.Start()
	require.NoError(t, s.Settle(t.Context(), EngineIdle))
	s.Plan(Press{At: s.Time(), Pedal: 150, Press: 0.3, Hold: 1, Release: 0.1})
	require.NoError(t, s.Advance(t.Context(), 1.4))
	var vacua []float64
	for range 8 {
		vacua = append(vacua, float64(s.State().FrontVacuum))
		require.NoError(t, s.Advance(t.Context(), 0.1))
	}
	return vacua
}
