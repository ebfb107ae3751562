package sim

import (
	"math"
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

func TestTypicalPassesItsCheck(t *testing.T) {
	c := Typical()
	require.Empty(t, c.Check())
}

func TestCheck(t *testing.T) {
	const fatal, warning = true, false
	for _, c := range []struct {
		name  string
		spoil func(c *Config)
		fatal bool
		want  string
	}{
		{"vacuum is ambient", func(c *Config) { c.Source.Kind, c.Source.Vacuum, c.Booster.TailArea = SourceBench, 101325, 1e-4 }, fatal,
			"Source.Vacuum: read 101.3 kPa (29.92 inHg), want less than the ambient pressure of 101.3 kPa (29.92 inHg)"},
		{"boost ratio below 1", func(c *Config) { c.Booster.Ratio = 0.99 }, fatal, "Booster.Ratio: read 0.99, want 1 to 100"},
		{"boost ratio 13", func(c *Config) { c.Booster.Ratio = 13 }, warning, "Booster.Ratio: read 13, want 1 to 12 as a rule"},
		{"volume", func(c *Config) { c.Reservoir.Volume = 0.101 }, fatal, "Reservoir.Volume: read 101 L, want 0 L to 100 L"},
		{"area", func(c *Config) { c.Booster.Area, c.Booster.FrontVolume = 0.51, 30e-3 }, fatal, "Booster.Area: read 0.51 m², want more than 0, at most 0.5 m²"},
		{"no number", func(c *Config) { c.Hose.Area = si.Area(math.NaN()) }, fatal, "Hose.Area: read no number, want more than 0, at most 0.5 m²"},
		{"infinite", func(c *Config) { c.Master.Spring = si.Force(math.Inf(1)) }, fatal, "Master.Spring: read an infinite value, want 0 N to 20000 N"},
		{"booster applies itself", func(c *Config) { c.Booster.Spring, c.Source.Vacuum = 67, 61e3 }, fatal,
			"Booster.TailArea: read 11 cm², want area × vacuum, here 67.1 N at 61 kPa (18.01 inHg), below the spring preload of 67 N, or the booster applies itself"},
		{"booster applies itself by the pump", func(c *Config) {
			c.Booster.Spring = 72
			c.Pump = Pump{FreeFlow: 4e-4, On: 50e3, Off: 66e3}
		}, fatal,
			"Booster.TailArea: read 11 cm², want area × vacuum, here 72.6 N at 66 kPa (19.49 inHg), below the spring preload of 72 N, or the booster applies itself"},
		{"booster applies itself on the overrun", func(c *Config) { c.Booster.Spring = 90 }, warning,
			"Booster.TailArea: read 11 cm², want area × vacuum, here 92.51 N at 84.1 kPa (24.83 inHg), below the spring preload of 90 N, or the booster applies itself on the overrun (estimate)"},
		{"adhesion of glue", func(c *Config) { c.Car.Adhesion = 2.5 }, fatal, "Car.Adhesion: read 2.5, want 0.01 to 2"},
		{"more grip sliding than rolling", func(c *Config) { c.Car.SlidingAdhesion = 1 }, fatal, "Car.SlidingAdhesion: read 1, want more than 0, at most the adhesion of 0.9"},
		{"no grip at all once locked", func(c *Config) { c.Car.SlidingAdhesion = 0 }, fatal, "Car.SlidingAdhesion: read 0, want more than 0, at most the adhesion of 0.9"},
		{"linings that lock by themselves", func(c *Config) { c.Car.RearBrake.Friction = 0.9 }, fatal, "Car.RearBrake.Friction: read 0.9, want 0.01 to 0.7"},
		{"drum master ahead of discs", func(c *Config) { c.Car.ResidualFront = 10 * si.PoundPerSquareInch }, warning, "Car.ResidualFront: read 68.95 kPa, want at most 34.47 kPa behind discs, or their pads drag (common practice, no source)"},
		{"adhesion of slicks", func(c *Config) { c.Car.Adhesion = 1.2 }, warning, "Car.Adhesion: read 1.2, want 0.1 to 1 as a rule"},
		{"share", func(c *Config) { c.Car.FrontShare = 1 }, fatal, "Car.FrontShare: read 1, want 0.01 to 0.99"},
		{"air pressure", func(c *Config) { c.Ambient.Pressure, c.Source.MeasuredPressure = 111e3, 101325 }, fatal,
			"Ambient.Pressure: read 111 kPa, want 40 kPa to 110 kPa"},
		{"cold", func(c *Config) { c.Ambient.Temperature = 200 }, fatal, "Ambient.Temperature: read -73.15 °C, want -50 °C to 60 °C"},
		{"bore", func(c *Config) { c.Master.Bore = 4e-3 }, fatal, "Master.Bore: read 4 mm, want 5 mm to 80 mm"},
		{"bore unlikely", func(c *Config) { c.Master.Bore = 33e-3 }, warning, "Master.Bore: read 33 mm, want 15 mm to 32 mm as a rule"},
		{"unknown fault", func(c *Config) { c.Faults = []Fault{{Name: "rust"}} }, fatal, ""},
		{"leak without area", func(c *Config) { c.Faults = []Fault{{Name: FaultHoseLeak, Open: 0.5}} }, fatal,
			"Faults[0].Area: read 0 cm², want more than 0, at most 0.5 m²"},
		{"restriction", func(c *Config) { c.Faults = []Fault{{Name: FaultFilterBlocked, Open: 1.01}} }, fatal, "Faults[0].Open: read 1.01, want 0 to 1"},
		{"severity", func(c *Config) { c.Faults = []Fault{{Name: FaultPushrodTooLong, Severity: -0.1}} }, fatal, "Faults[0].Severity: read -0.1, want 0 to 1"},
		{"unknown kind", func(c *Config) { c.Booster.Kind = "" }, fatal, `Booster.Kind: read "", want "vacuum" or "none"`},
		{"free play", func(c *Config) { c.Booster.FreePlay = 40e-3 }, fatal, "Booster.FreePlay: read 40 mm, want less than the stroke of 38 mm"},
	} {
		t.Run(c.name, func(t *testing.T) {
			config := Typical()
			c.spoil(&config)
			problems := config.Check()
			require.Len(t, problems, 1, "%v", problems)
			assert.Equal(t, c.fatal, problems[0].Fatal)
			if c.want != "" {
				assert.Equal(t, c.want, problems[0].Error())
			}
		})
	}
}

func TestCheckLetsWhatIsPossiblePass(t *testing.T) {
	for name, change := range map[string]func(c *Config){
		"bench without vacuum": func(c *Config) { c.Source.Kind, c.Source.Vacuum = SourceBench, 0 },
		"boost ratio 1":        func(c *Config) { c.Booster.Ratio = 1 },
		"no friction, no springs": func(c *Config) {
			c.Booster.Friction, c.Master.Friction, c.Master.Spring, c.Master.SpringRate = 0, 0, 0, 0
		},
		"no booster, nothing of one": func(c *Config) { c.Booster = Booster{Kind: BoosterNone} },
		"hose shut":                  func(c *Config) { c.Faults = []Fault{{Name: FaultHoseRestricted}} },
	} {
		t.Run(name, func(t *testing.T) {
			c := Typical()
			change(&c)
			require.Empty(t, c.Check())
		})
	}
}

// No number of a configuration may be NaN, whichever it is: each field is spoilt in turn.
func TestCheckFindsEveryNaN(t *testing.T) {
	skip := map[string]bool{
		// Only the other kind of brake uses these, and a tank or pump that is not there has none.
		"Car.FrontBrake.ShoeFactor": true, "Pump.On": true, "Pump.Off": true,
	}
	var spoil func(c *Config, v reflect.Value, path string)
	spoil = func(c *Config, v reflect.Value, path string) {
		switch v.Kind() {
		case reflect.Struct:
			for i := range v.NumField() {
				name := v.Type().Field(i).Name
				if path != "" {
					name = path + "." + name
				}
				spoil(c, v.Field(i), name)
			}
		case reflect.Float64:
			if skip[path] {
				return
			}
			was := v.Float()
			v.SetFloat(math.NaN())
			fatal := false
			for _, p := range c.Check() {
				fatal = fatal || p.Fatal
			}
			assert.True(t, fatal, path)
			v.SetFloat(was)
		}
	}
	c := Typical()
	spoil(&c, reflect.ValueOf(&c).Elem(), "")
}

func TestFaultNamesAreMeasured(t *testing.T) {
	seen := map[FaultName]bool{}
	for _, name := range FaultNames() {
		assert.False(t, seen[name], "%s once", name)
		seen[name] = true
	}
	assert.Equal(t, FaultByArea, FaultDiaphragmTorn.Measure())
	assert.Equal(t, FaultByOpen, FaultFilterBlocked.Measure())
	assert.Equal(t, FaultBySeverity, FaultLowSourceVacuum.Measure())
}

// The model knows the fields of a car and no keys of any file.
func TestFieldPath(t *testing.T) {
	c := Typical()
	c.Faults = []Fault{{Name: FaultHoseLeak}}
	assert.Equal(t, "Booster.Ratio", c.FieldPath(&c.Booster.Ratio))
	assert.Equal(t, "Ambient.Pressure", c.FieldPath(&c.Ambient.Pressure), "not the struct that it begins")
	assert.Equal(t, "Faults[0].Area", c.FieldPath(&c.Faults[0].Area))
	other := Typical()
	assert.Empty(t, c.FieldPath(&other.Booster.Ratio))
}
