package scenario_test

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

func TestBuiltinIsTheTypicalCar(t *testing.T) {
	s, err := scenario.Builtin()
	require.NoError(t, err)
	require.Equal(t, sim.Typical(), s.Config)
	require.Empty(t, s.Warnings)
	require.True(t, s.IsBuiltin())
	var assumed []string
	for _, e := range s.Assumed(false) {
		assumed = append(assumed, e.Path)
	}
	assert.Subset(t, assumed, []string{"source.vacuum", "booster.diameter", "booster.ratio", "pedal.ratio", "master.bore", "car.mass"})
	assert.Less(t, len(assumed), len(s.Assumed(true)))
}

func TestAssumedLeavesOutWhatWasSet(t *testing.T) {
	for _, e := range read(t, car).Assumed(true) {
		assert.NotContains(t, []string{"source.vacuum", "booster.diameter", "pedal.ratio", "master.bore"}, e.Path)
	}
}

func TestWhatFollowsFromWhat(t *testing.T) {
	t.Run("volumes from the diameter", func(t *testing.T) {
		s := read(t, car)
		assert.InDelta(t, 0.0466, number(s.Config.Booster.Area), 1e-4)
		// 2.4 L and 0.43 L for 533 cm² (report UCB-ITS-PRR-97-21, published text).
		assert.InDelta(t, 2.4e-3*466.2/533, number(s.Config.Booster.FrontVolume), 1e-6)
		assert.InDelta(t, 0.43e-3*466.2/533, number(s.Config.Booster.RearVolume), 1e-6)
	})
	t.Run("a longer stroke deepens the front chamber", func(t *testing.T) {
		s := read(t, with("diameter", "stroke = \"58 mm\"\ndiameter"))
		assert.InDelta(t, 2.4e-3*466.2/533+20e-3*466.2e-4, number(s.Config.Booster.FrontVolume), 1e-6)
		assert.Empty(t, s.Warnings)
	})
	t.Run("the area overrides the diameter", func(t *testing.T) {
		s := read(t, with("diameter", "area = \"233 cm2\"\ndiameter"))
		assert.InDelta(t, 0.0233, number(s.Config.Booster.Area), 1e-12)
		assert.InDelta(t, 2.4e-3*233/533, number(s.Config.Booster.FrontVolume), 1e-6)
		assert.Equal(t, []si.Length{0.254}, s.Config.Booster.Diameters)
	})
	t.Run("tandem", func(t *testing.T) {
		s := read(t, with(`"10 in"`, `["205 mm", "230 mm"]`))
		assert.InDelta(t, 0.0715, number(s.Config.Booster.Area), 1e-4)
	})
	t.Run("nothing is scaled without measured_at", func(t *testing.T) {
		s := read(t, car+"[ambient]\naltitude = \"1500 m\"")
		assert.InDelta(t, 84556, number(s.Config.Source.MeasuredPressure), 1)
		assert.Equal(t, s.Config.Ambient.Pressure, s.Config.Source.MeasuredPressure)
	})
	t.Run("measured elsewhere", func(t *testing.T) {
		s := read(t, car+"measured_at = \"0 m\"\n[ambient]\naltitude = \"1500 m\"")
		assert.InDelta(t, 101325, number(s.Config.Source.MeasuredPressure), 1e-6)
	})
	t.Run("manifold of the engine's size", func(t *testing.T) {
		s := read(t, car+`displacement = "350 in3"`)
		assert.InDelta(t, 350*16.387064e-6, number(s.Config.Source.ManifoldVolume), 1e-12)
	})
	t.Run("pistons", func(t *testing.T) {
		s := read(t, car+"[brake.front]\npistons = 2\npiston_diameter = \"40 mm\"")
		assert.InDelta(t, 2*3.14159265*0.04*0.04/4, number(s.Config.Car.FrontBrake.PistonArea), 1e-9)
	})
	t.Run("discs behind", func(t *testing.T) {
		s := read(t, car+"[brake.rear]\nkind = \"disc\"\nradius = \"120 mm\"")
		assert.Positive(t, number(s.Config.Car.RearBrake.Friction))
		assert.InDelta(t, 0.12, number(s.Config.Car.RearBrake.Radius), 1e-12)
	})
	t.Run("no booster", func(t *testing.T) {
		s := read(t, with(`diameter = "10 in"`, `kind = "none"`))
		assert.Equal(t, sim.Booster{Kind: sim.BoosterNone}, s.Config.Booster)
	})
	t.Run("a pump and a tank by name alone", func(t *testing.T) {
		s := read(t, car+"[pump]\n[reservoir]")
		assert.Equal(t, scenario.TypicalPump(), s.Config.Pump)
		assert.InDelta(t, 2e-3, number(s.Config.Reservoir.Volume), 1e-12)
		assert.Zero(t, read(t, car).Config.Pump)
	})
	t.Run("a stop by deceleration presses no harder than the limit", func(t *testing.T) {
		s := read(t, car+"[reserve]\ndeceleration = \"0.5 g\"\nforce_limit = \"400 N\"")
		assert.Equal(t, sim.Press{At: 1, Pedal: 400, Deceleration: 0.5 * si.StandardGravity, Press: 0.3, Hold: 2, Release: 0.3}, s.Reserve.Stop(1))
	})
	t.Run("a reading's tolerance is the gauge's", func(t *testing.T) {
		s := read(t, car+"[[reading]]\ntest = \"manifold-vacuum\"\nvalue = \"60 kPa ± 2\"")
		assert.InDelta(t, 2000, s.Readings[0].Error, 1e-9)
	})
	t.Run("a travel and a time have tolerances of their own kind", func(t *testing.T) {
		s := read(t, car+"[[reading]]\ntest = \"pedal-travel\"\npedal = \"100 N\"\nvacuum = \"0 inHg\"\ntravel = \"60 mm ± 2\"\n"+
			"[[reading]]\ntest = \"recharge\"\npedal = \"300 N\"\ntakes = \"4 s ± 0.3\"\n[[reading]]\ntest = \"pedal-settles\"\npedal = \"300 N\"\ntakes = \"1 s\"")
		assert.InDelta(t, 0.060, number(s.Readings[0].Travel), 1e-12)
		assert.InDelta(t, 0.002, s.Readings[0].Error, 1e-12)
		assert.InDelta(t, 4, number(s.Readings[1].Takes), 1e-12)
		assert.InDelta(t, 0.3, s.Readings[1].Error, 1e-12)
		assert.Equal(t, scenario.PedalSettles, s.Readings[2].Test)
	})
}

func TestSpreads(t *testing.T) {
	s := read(t, with("18 inHg", "11 inHg ± 1"), "booster.ratio=5 ± 0.5")
	require.Len(t, s.Spreads, 2)
	assert.Equal(t, "booster.ratio", s.Spreads[0].Path)
	assert.InDelta(t, 0.5, s.Spreads[0].HalfWidth, 1e-12)
	assert.Equal(t, "source.vacuum", s.Spreads[1].Path)
	assert.InDelta(t, si.InchOfMercury, s.Spreads[1].HalfWidth, 1e-6)
	assert.InDelta(t, 11*si.InchOfMercury, number(s.Config.Source.Vacuum), 1e-6)
	plain := read(t, car, "source.vacuum=11 inHg")
	assert.Empty(t, plain.Spreads)
	changed, err := s.With("source.vacuum", "11 inHg")
	require.NoError(t, err)
	assert.Len(t, changed.Spreads, 1)
}

func TestWarnings(t *testing.T) {
	for _, c := range []struct {
		name, doc string
		flags     []string
		want      []string
	}{
		{"nothing unlikely", car, nil, nil},
		{"front volume below area × stroke", with("diameter", "front_volume = \"1 L\"\ndiameter"), nil, []string{
			`car.toml:2: booster.front_volume: read "1 L", want at least area × stroke, which is 1.772 L; the hub cannot go its full stroke`}},
		{"pedal ratio", with("ratio = 4", "ratio = 9"), []string{"booster.ratio=14"}, []string{
			"car.toml:4: pedal.ratio: read 9, want 2.5 to 8 as a rule",
			"--set booster.ratio: read 14, want 1 to 12 as a rule"}},
		{"bore", with(`"1 in"`, `"14 mm"`), nil, []string{
			`car.toml:6: master.bore: read "14 mm", want 15 mm to 32 mm as a rule`,
			`car.toml:6: master.bore: read "14 mm", want at least 15.0 mm, or more stroke: at 6.1 MPa in the line, where the front wheels lock, the circuits take 114 % of the stroke there is`}},
		{"bore in inches", with(`"1 in"`, `"9/16 in"`), nil, []string{
			`car.toml:6: master.bore: read "9/16 in", want 0.5906 in to 1.26 in as a rule`,
			`car.toml:6: master.bore: read "9/16 in", want at least 0.59 in, or more stroke: at 890 psi in the line, where the front wheels lock, the circuits take 110 % of the stroke there is`}},
		{"not in gear", car + "measured_in_gear = false", nil, []string{
			"car.toml:10: source.measured_in_gear: read false, want the idle vacuum in gear: there an automatic reads about 2-4 inHg less (common practice, no source)"}},
		{"more vacuum than engines make", with("18 inHg", "25 inHg"), nil, []string{
			`car.toml:9: source.vacuum: read "25 inHg", want at most 24 inHg at idle (common practice, no source)`}},
		{"keys without a booster", with(`diameter = "10 in"`, "kind = \"none\"\nratio = 5"), nil, []string{
			`car.toml:3: booster.ratio: read 5, want no other key of [booster] beside kind = "none"`}},
		{"engine's keys for a bench", with(`"engine"`, `"bench"`) + `idle_speed = "800 rpm"`, nil, []string{
			`car.toml:10: source.idle_speed: read "800 rpm", want kind = "engine" for it to be used`}},
		{"diameter over area", with("diameter", "area = \"400 cm2\"\ndiameter"), []string{"booster.diameter=8 in"}, []string{
			`--set booster.diameter: read "8 in", want booster.area changed or left out too, since it overrides what the diameter gives`}},
		{"pump that never stops", car + "[pump]\noff = \"27 inHg\"", nil, []string{
			`car.toml:11: pump.off: read "27 inHg", want at most 26.03 inHg (88.15 kPa), which the pump reaches at this ambient pressure (estimate), or it never switches off`,
			`car.toml:11: pump.off: read "27 inHg" with booster.friction 2.248 lbf, want less than what the spring of 24.73 lbf has left against the push on the tail, or the hub may hang instead of returning (estimate)`}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, w := range read(t, c.doc, c.flags...).Warnings {
				got = append(got, w.String())
			}
			assert.Equal(t, c.want, got)
		})
	}
}

func TestEntriesSayWhereValuesComeFrom(t *testing.T) {
	s := read(t, car, "booster.ratio=6")
	entry := func(path string) scenario.Entry {
		entries := s.Entries()
		i := slices.IndexFunc(entries, func(e scenario.Entry) bool { return e.Path == path })
		require.GreaterOrEqual(t, i, 0, path)
		return entries[i]
	}
	vacuum := entry("source.vacuum")
	assert.Equal(t, scenario.Set, vacuum.Origin)
	assert.Equal(t, "car.toml:9", vacuum.Place)
	assert.Equal(t, "18 inHg", vacuum.Text(si.US))
	assert.False(t, vacuum.Estimate)
	assert.Equal(t, "--set", entry("booster.ratio").Place)
	area := entry("booster.area")
	assert.Equal(t, scenario.Derived, area.Origin)
	assert.True(t, area.Estimate)
	assert.NotEmpty(t, area.From)
	assert.Equal(t, scenario.Default, entry("car.mass").Origin)
}

// The list of keys, the values of a scenario and the reader are one table.
func TestEveryKeyHasADocAndIsRead(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range scenario.Keys() {
		assert.NotEmpty(t, k.Doc, k.Path)
		assert.NotEmpty(t, k.Kind, k.Path)
		assert.False(t, seen[k.Path], "%s twice", k.Path)
		seen[k.Path] = true
		path := k.Path
		if k.Repeated {
			path = strings.Replace(path, ".", "[0].", 1)
		}
		s, err := scenario.Builtin()
		require.NoError(t, err)
		_, err = s.With(path, "\x00")
		if path == "title" {
			continue
		}
		require.Error(t, err, path)
		assert.NotContains(t, err.Error(), "unknown key")
	}
}

func TestSchedule(t *testing.T) {
	s := read(t, car+`
[[press]]
at = "20 s"
pedal = "150 N"
[[press]]
at = "5 s"
pedal = "100 N"
[[event]]
at = "40 s"
engine = "off"
[[event]]
at = "1 s"
engine = "snap"
`)
	got := s.Schedule()
	assert.Equal(t, si.Time(5), got.Presses[0].At)
	assert.Equal(t, si.Time(20), got.Presses[1].At)
	assert.Equal(t, sim.EngineSnap, got.Events[0].Engine)
	assert.Greater(t, got.Until, si.Time(40))
	assert.Equal(t, si.Time(20), s.Presses[0].At, "the scenario stays as written")

	alone := read(t, car).Schedule()
	require.Len(t, alone.Presses, 1)
	assert.Equal(t, si.Force(100), alone.Presses[0].Pedal)
	assert.Greater(t, alone.Until, alone.Presses[0].End())
}

func TestEdit(t *testing.T) {
	s := read(t, with("diameter", "area = \"400 cm2\"\ndiameter")+"[reservoir]\nvolume = \"2 L\"\n[[fault]]\nname = \"hose-leak\"\narea = \"1 mm2\"\n")
	set, unset := scenario.BoosterSize{Text: "8 in + 8 in", Diameters: []si.Length{0.2032, 0.2032}}.Settings()
	tandem, err := s.Edit(set, append(unset, "reservoir", "fault")...)
	require.NoError(t, err)
	assert.Equal(t, sim.BoosterOf(0.2032, 0.2032).Area, tandem.Config.Booster.Area)
	assert.Zero(t, tandem.Config.Reservoir.Volume)
	assert.Empty(t, tandem.Config.Faults)
	assert.NotZero(t, s.Config.Reservoir.Volume)

	set, unset = scenario.BoosterSize{Text: "none"}.Settings()
	none, err := tandem.Edit(set, unset...)
	require.NoError(t, err)
	assert.Equal(t, sim.BoosterNone, none.Config.Booster.Kind)

	higher, err := read(t, car+"[ambient]\npressure = \"95 kPa\"").With("ambient.altitude", "1500 m")
	require.NoError(t, err, "a change takes the place of the other way to say it")
	assert.InDelta(t, 84556, number(higher.Config.Ambient.Pressure), 1)

	exact, err := s.WithSI("source.vacuum", 12345.678901234)
	require.NoError(t, err)
	assert.Equal(t, si.Vacuum(12345.678901234), exact.Config.Source.Vacuum)

	_, err = s.With("source.vacuum", "3")
	require.EqualError(t, err, `--set source.vacuum: read 3 without a unit, want "3 kPa" or "3 inHg"`)
}

func TestDimension(t *testing.T) {
	dim, ok := scenario.Dimension("press[0].pedal")
	assert.True(t, ok)
	assert.Equal(t, si.DimForce, dim)
	for _, path := range []string{"source.kind", "booster.nose", "press.pedal", "reservoir.inlet_valve"} {
		_, ok := scenario.Dimension(path)
		assert.False(t, ok, path)
	}
}

func TestOpen(t *testing.T) {
	path := filepath.Join(t.TempDir(), "car.toml")
	require.NoError(t, os.WriteFile(path, []byte(car), 0o600))
	s, err := scenario.Open(path, nil, "pedal.ratio=5")
	require.NoError(t, err)
	assert.Equal(t, si.Ratio(5), s.Config.Pedal.Ratio)
	assert.Equal(t, path, s.Name())

	_, err = scenario.Open("-", strings.NewReader(with("18", "-18")))
	require.EqualError(t, err, `stdin:9: source.vacuum: read "-18 inHg", want 0 or more; a vacuum counts up from the ambient pressure`)

	_, err = scenario.Open("no-such-file.toml", nil)
	require.EqualError(t, err, "no-such-file.toml:1: file: read no such file or directory, want a scenario file that can be read, or - for standard input")

	s, err = scenario.Open("", nil)
	require.NoError(t, err)
	assert.True(t, s.IsBuiltin())

	broken := errors.New("unplugged")
	_, err = scenario.Read(iotest.ErrReader(broken), "stdin")
	require.ErrorIs(t, err, broken)
}

func TestLimitsOfADocument(t *testing.T) {
	_, err := scenario.Read(strings.NewReader(car+strings.Repeat("#\n", 1<<19)), "car.toml")
	require.EqualError(t, err, "car.toml:1: document: read more than 1 MiB, want a scenario of at most 1 MiB")

	_, err = scenario.Read(strings.NewReader(strings.Repeat("[[press]]\n", 2000)+car), "car.toml")
	require.ErrorContains(t, err, "car.toml:1001: press: read one more [[press]], want at most 1000")

	var b strings.Builder
	for i := range 30 {
		fmt.Fprintf(&b, "key%d = 1\n", i)
	}
	_, err = scenario.Read(strings.NewReader(b.String()+car), "car.toml")
	var input *scenario.InputError
	require.ErrorAs(t, err, &input)
	assert.Len(t, input.Problems, 20)
	assert.Equal(t, 10, input.More)

	// Unknown keys by the thousand must not take time that grows with their square.
	b.Reset()
	for i := range 50000 {
		fmt.Fprintf(&b, "key%d = 1\n", i)
	}
	_, err = scenario.Read(strings.NewReader(b.String()), "car.toml")
	require.ErrorAs(t, err, &input)
	assert.Greater(t, input.More, 49000)

	deep := "title = " + strings.Repeat("[", 20000)
	_, err = scenario.Read(strings.NewReader(deep), "car.toml")
	require.ErrorAs(t, err, &input)
}

func TestHash(t *testing.T) {
	plain := read(t, car)
	assert.Len(t, plain.Hash(), 64)
	assert.Equal(t, plain.Hash(), read(t, with(`"1 in"`, `"25.4 mm"`)).Hash(), "units are not part of it")
	assert.Equal(t, plain.Hash(), read(t, "title = \"x\"\n"+car).Hash(), "nor is the title")
	assert.NotEqual(t, plain.Hash(), read(t, with("18 inHg", "18 inHg ± 1")).Hash(), "tolerances are")
	for _, flag := range []string{"booster.ratio=5.1", "source.kind=bench", "fault[0].name=hose-leak", "car.adhesion=0.8", "choose.boosters=[\"7 in\"]"} {
		flags := []string{flag}
		if strings.HasPrefix(flag, "fault") {
			flags = append(flags, "fault[0].area=1 mm2")
		}
		assert.NotEqual(t, plain.Hash(), read(t, car, flags...).Hash(), flag)
	}
}
