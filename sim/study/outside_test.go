package study

import (
	"context"
	"fmt"
	"math"
	"os"
	"testing"

	"github.com/pelletier/go-toml/v2"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// outside is the second half of testdata/published.toml.
type outside struct {
	CarPressure []struct {
		quoted
		Name       string       `toml:"name"`
		Diameters  []lengthText `toml:"diameters"`
		Bore       *lengthText  `toml:"bore"`
		PedalRatio float64      `toml:"pedal_ratio"`
		OrMore     bool         `toml:"or_more"`
		Rows       []pressedAt  `toml:"rows"`
	} `toml:"car_pressure"`
	UnboostedPair []struct {
		quoted
		Bore   lengthText   `toml:"bore"`
		Points [2]pressedAt `toml:"points"`
	} `toml:"unboosted_pair"`
	LeakOvernight    leakDownLimit `toml:"leak_overnight"`
	ApplicationTakes []struct {
		quoted
		Share float64 `toml:"share"`
	} `toml:"application_takes"`
	FifthApplication struct {
		quoted
		Pedal        forceText             `toml:"pedal"`
		Deceleration text[si.Acceleration] `toml:"deceleration"`
	} `toml:"fifth_application"`
	LowVacuumWarning struct {
		quoted
		Vacuum vacuumText `toml:"vacuum"`
	} `toml:"low_vacuum_warning"`
	PumpWindow struct {
		quoted
		From vacuumText `toml:"from"`
		To   vacuumText `toml:"to"`
	} `toml:"pump_window"`
	PumpSwitches struct {
		quoted
		Off vacuumText `toml:"off"`
	} `toml:"pump_switches"`
	Hysteresis struct {
		quoted
		From forceText `toml:"from"`
	} `toml:"hysteresis"`
}

type pressedAt struct {
	Vacuum vacuumText   `toml:"vacuum"`
	Pedal  forceText    `toml:"pedal"`
	Line   pressureText `toml:"line"`
}

func outsideFigures(t testing.TB) *outside {
	t.Helper()
	data, err := os.ReadFile("../../testdata/published.toml")
	require.NoError(t, err)
	p := &outside{}
	require.NoError(t, toml.Unmarshal(data, p))
	return p
}

// What a sheet leaves open is common somewhere in this grid.
var (
	commonBoosters = [][]si.Length{{8 * si.Inch}, {9 * si.Inch}, {10 * si.Inch}}
	commonBores    = []si.Length{20.64e-3, 22.22e-3, 23.81e-3}
	commonPedals   = []si.Ratio{2.7, 3.2, 3.7, 4.2}
	commonRatios   = []si.Ratio{4, 5, 6, 7, 8.5}
)

// Of all combinations of what a sheet leaves open, how many come within 10 % of every row
// of it: all rows at once, with nothing fitted. Some must, and where something is expected
// rather than allowed at least not most, or the rows would hold nothing.
func TestLinePressuresOfCars(t *testing.T) {
	if testing.Short() {
		t.Skip("a grid of cars")
	}
	t.Parallel()
	for _, sheet := range outsideFigures(t).CarPressure {
		boosters, bores, pedals := commonBoosters, commonBores, commonPedals
		if len(sheet.Diameters) > 0 {
			boosters = [][]si.Length{nil}
			for _, d := range sheet.Diameters {
				boosters[0] = append(boosters[0], d.is)
			}
		}
		if sheet.Bore != nil {
			bores = []si.Length{sheet.Bore.is}
		}
		if sheet.PedalRatio > 0 {
			pedals = []si.Ratio{si.Ratio(sheet.PedalRatio)}
		}
		met, all := 0, 0
		for _, bore := range bores {
			for _, pedal := range pedals {
				for _, diameters := range boosters {
					for _, ratio := range commonRatios {
						c := sim.Typical()
						c.Source.Kind = sim.SourceBench
						c.Booster = sim.BoosterOf(diameters...)
						c.Booster.Ratio, c.Master.Bore, c.Pedal.Ratio = ratio, bore, pedal
						all++
						if worst(t, c, sheet.Rows, sheet.OrMore) <= 0.1 {
							met++
						}
					}
				}
			}
		}
		t.Logf("%s: %d of %d combinations within 10 %% of all rows", sheet.Name, met, all)
		assert.Positive(t, met, sheet.Name)
		assert.Less(t, met, all, sheet.Name)
	}
}

// worst is by how much the car misses a row the most, as a share; the first miss of more
// than a tenth is enough.
func worst(t *testing.T, c sim.Config, rows []pressedAt, orMore bool) (miss float64) {
	t.Helper()
	var f *ForceCurve
	var vacuum si.Vacuum
	for _, row := range rows {
		if f == nil || vacuum != row.Vacuum.is {
			var err error
			vacuum = row.Vacuum.is
			f, err = forceCurve(t.Context(), at(c, vacuum))
			require.NoError(t, err)
		}
		if row.Line.is == 0 {
			continue // allowed, and met by anything
		}
		off := 1 - float64(f.lineAt(row.Pedal.is).Value())/float64(row.Line.is)
		if !orMore {
			off = math.Abs(off)
		}
		if miss = max(miss, off); miss > 0.1 {
			break
		}
	}
	return miss
}

// Without vacuum two points of a sheet show the lever and what the rod loses, with no ratio
// assumed (testdata/published.toml, unboosted_pair). The points are lowest allowed values:
// the model on that bore and that lever gives no less but by 10 %, and its loss, on either
// car, is within 10 % of the stretch between the two sheets'.
func TestUnboostedPairs(t *testing.T) {
	least, most := math.Inf(1), math.Inf(-1)
	var ours []float64
	for _, pair := range outsideFigures(t).UnboostedPair {
		area := math.Pi / 4 * float64(pair.Bore.is*pair.Bore.is)
		read := func(a, b pressedAt, pa, pb float64) (lever, loss float64) {
			lever = (pb - pa) / float64(b.Pedal.is-a.Pedal.is) * area
			return lever, lever*float64(a.Pedal.is) - pa*area
		}
		a, b := pair.Points[0], pair.Points[1]
		lever, loss := read(a, b, float64(a.Line.is), float64(b.Line.is))
		least, most = min(least, loss), max(most, loss)
		f := curveOf(t, typical(t, "source.kind=bench", "source.vacuum=0 kPa", flag("master.bore", pair.Bore.is), fmt.Sprintf("pedal.ratio=%g", lever)))
		pa, pb := float64(f.lineAt(a.Pedal.is).Value()), float64(f.lineAt(b.Pedal.is).Value())
		assert.Greater(t, pa, 0.9*float64(a.Line.is), pair.Source)
		assert.Greater(t, pb, 0.9*float64(b.Line.is), pair.Source)
		simulated, lost := read(a, b, pa, pb)
		assert.InEpsilon(t, lever, simulated, 0.02, "the lever that the model has")
		ours = append(ours, lost)
		t.Logf("lever %.2f, loss %.0f N at the rod; the model %.2f and %.0f N, %+.0f %% and %+.0f %% of line pressure", lever, loss, simulated, lost,
			100*(pa/float64(a.Line.is)-1), 100*(pb/float64(b.Line.is)-1))
	}
	for _, lost := range ours {
		assert.Greater(t, lost, 0.9*least)
		assert.Less(t, lost, 1.1*most)
	}
}

// A sound car holds its vacuum overnight (testdata/published.toml, leak_overnight). A leak
// that passes the test of 15 s twice over does not.
func TestLeakOvernight(t *testing.T) {
	p := outsideFigures(t)
	c := sim.Typical()
	assert.LessOrEqual(t, leakDown(t, c, p.LeakOvernight, 0), p.LeakOvernight.Drop.is)
	c.Faults = []sim.Fault{{Name: sim.FaultFrontShellLeak, Area: 0.013e-6}}
	assert.LessOrEqual(t, leakDown(t, c, publishedFigures(t).LeakDown, 0), publishedFigures(t).LeakDown.Drop.is/2)
	assert.Greater(t, leakDown(t, c, p.LeakOvernight, 0), p.LeakOvernight.Drop.is)
}

// What laws ask of a reserve (testdata/published.toml, application_takes and
// fifth_application). One full application takes more than they let a commercial vehicle's
// take, since the chambers are all the reserve there is. The fifth after four full strokes
// gives the secondary performance to a strong foot, with the booster or without.
func TestLawsOnTheReserve(t *testing.T) {
	p := outsideFigures(t)
	one := reserveOf(t, typical(t, "source.kind=bench", "source.vacuum=20 inHg", "reserve.pedal=500 N", "reserve.stops=1")).Stops[0]
	takes := 1 - float64(one.VacuumAfter.Value()/one.VacuumBefore.Value())
	for _, law := range p.ApplicationTakes {
		t.Logf("a full application takes %.0f %%, %s allows %.0f %%", 100*takes, law.Source, 100*law.Share)
		assert.Greater(t, takes, law.Share-0.02, law.Source)
	}
	fifth := p.FifthApplication
	for _, name := range []string{"stock-ten-inch", "big-cam-nine", "dual-circuit"} {
		s := garage(t, name, flag("reserve.deceleration", fifth.Deceleration.is), flag("reserve.force_limit", fifth.Pedal.is), "reserve.stops=1")
		session := settledAt(t, s.Config)
		session.Engine(sim.EngineOff)
		for range 4 {
			held(t, session, fifth.Pedal.is, 2)
			session.Pedal(0, 0.3)
			require.NoError(t, session.Advance(context.Background(), 6))
		}
		slowing := held(t, session, fifth.Pedal.is, 2).Deceleration
		t.Logf("%s: the fifth application slows by %.1f m/s²", name, float64(slowing))
		assert.GreaterOrEqual(t, slowing, fifth.Deceleration.is, name)
	}
}

// The pump's default switches lie in the window that two makers give for an electric pump
// (testdata/published.toml, pump_window); the upper switch that is heard in the trade does
// not, and no default follows it. Nor is there a published figure for the hysteresis at the
// rod: the default's is less than is said, which this holds so that a change is seen.
func TestDefaultsBesideWhatIsSaid(t *testing.T) {
	p := outsideFigures(t)
	pump := typical(t, "pump.free_flow=25 L/min").Config.Pump
	assert.GreaterOrEqual(t, pump.On, p.PumpWindow.From.is)
	assert.LessOrEqual(t, pump.Off, p.PumpWindow.To.is)
	assert.Greater(t, p.PumpSwitches.Off.is, p.PumpWindow.To.is)
	assert.Greater(t, pump.On, p.LowVacuumWarning.Vacuum.is, "a pump starts before a warning would")
	f := curveOf(t, typical(t, "source.kind=bench", "source.vacuum=66.7 kPa"))
	t.Logf("hysteresis %.0f N at the rod, %.0f N and more is said", float64(f.Hysteresis.Value()), float64(p.Hysteresis.From.is))
	assert.Greater(t, float64(f.Hysteresis.Value()), 0.2*float64(p.Hysteresis.From.is))
	assert.Less(t, float64(f.Hysteresis.Value()), float64(p.Hysteresis.From.is))
}
