package scenario_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A row of this table is one key, how it is written, and what it must come to.
type row struct {
	key  string
	toml string
	got  func(s *scenario.Scenario) any
	want any
}

// near wants a value but for rounding in the last digits.
func near(v float64) any { return approx{v, 1e-12 + 1e-9*v} }

type approx struct{ value, within float64 }

func tables() map[string][]row {
	type S = *scenario.Scenario
	return map[string][]row{
		"[ambient]": {
			{"altitude", `"500 m"`, func(s S) any { return s.Config.Ambient.Pressure }, approx{95461, 0.5}}, // ISA (ISO 2533, published text), to 1 Pa,
			{"temperature", `"20 C"`, func(s S) any { return s.Config.Ambient.Temperature }, near(293.15)},
		},
		"[source]": {
			{"kind", `"bench"`, func(s S) any { return s.Config.Source.Kind }, sim.SourceBench},
			{"vacuum", `"66.7 kPa"`, func(s S) any { return s.Config.Source.Vacuum }, near(66700)},
		},
		"[pump]": {
			{"free_flow", `"25 L/min"`, func(s S) any { return s.Config.Pump.FreeFlow }, near(25e-3 / 60)},
			{"on", `"14 inHg"`, func(s S) any { return s.Config.Pump.On }, near(14 * si.InchOfMercury)},
			{"off", `"20 inHg"`, func(s S) any { return s.Config.Pump.Off }, near(20 * si.InchOfMercury)},
		},
		"[booster]": {
			{"diameter", `"10 in"`, func(s S) any { return s.Config.Booster.Diameters[0] }, near(0.254)},
			{"area", `"466 cm2"`, func(s S) any { return s.Config.Booster.Area }, near(466e-4)},
			{"front_volume", `"3.6 L"`, func(s S) any { return s.Config.Booster.FrontVolume }, near(3.6e-3)},
			{"rear_volume", `"0.6 L"`, func(s S) any { return s.Config.Booster.RearVolume }, near(0.6e-3)},
			{"ratio", `5.0`, func(s S) any { return s.Config.Booster.Ratio }, near(5)},
			{"jump_in", `"600 N"`, func(s S) any { return s.Config.Booster.JumpIn }, near(600)},
			{"cut_in", `"80 N"`, func(s S) any { return s.Config.Booster.CutIn }, near(80)},
			{"spring", `"110 N"`, func(s S) any { return s.Config.Booster.Spring }, near(110)},
			{"spring_rate", `"2.5 N/mm"`, func(s S) any { return s.Config.Booster.SpringRate }, near(2500)},
			{"friction", `"0 N"`, func(s S) any { return s.Config.Booster.Friction }, near(0)},
			{"tail_area", `"11 cm2"`, func(s S) any { return s.Config.Booster.TailArea }, near(11e-4)},
			{"stroke", `"38 mm"`, func(s S) any { return s.Config.Booster.Stroke }, near(38e-3)},
			{"free_play", `"0.5 mm"`, func(s S) any { return s.Config.Booster.FreePlay }, near(0.5e-3)},
			{"air_valve", `"55 mm2"`, func(s S) any { return s.Config.Booster.AirValve }, near(55e-6)},
			{"vacuum_valve", `"45 mm2"`, func(s S) any { return s.Config.Booster.VacuumValve }, near(45e-6)},
		},
		"[hose]": {{"area", `"18 mm2"`, func(s S) any { return s.Config.Hose.Area }, near(18e-6)}},
		"[reservoir]": {
			{"volume", `"2 L"`, func(s S) any { return s.Config.Reservoir.Volume }, near(2e-3)},
			{"place", `"engine side"`, func(s S) any { return s.Config.Reservoir.Place }, sim.PlaceEngineSide},
			{"inlet_valve", `true`, func(s S) any { return s.Config.Reservoir.InletValve }, true},
		},
		"[pedal]": {
			{"ratio", `4.0`, func(s S) any { return s.Config.Pedal.Ratio }, near(4)},
			{"efficiency", `1.0`, func(s S) any { return s.Config.Pedal.Efficiency }, near(1)},
		},
		"[master]": {
			{"bore", `"1 in"`, func(s S) any { return s.Config.Master.Bore }, near(25.4e-3)},
			{"circuits", `"dual"`, func(s S) any { return s.Config.Master.Circuits }, sim.MasterDual},
			{"spring", `"0 N"`, func(s S) any { return s.Config.Master.Spring }, near(0)},
			{"spring_rate", `"0 N/mm"`, func(s S) any { return s.Config.Master.SpringRate }, near(0)},
			{"friction", `"0 N"`, func(s S) any { return s.Config.Master.Friction }, near(0)},
		},
		"[circuit.front]": {
			{"take_up", `"0.6 cm3"`, func(s S) any { return s.Config.Front.TakeUp }, near(0.6e-6)},
			{"compliance", `"0.24 cm3/MPa"`, func(s S) any { return s.Config.Front.Compliance }, near(0.24e-12)},
		},
		"[circuit.rear]": {
			{"take_up", `"0.5 cm3"`, func(s S) any { return s.Config.Rear.TakeUp }, near(0.5e-6)},
			{"compliance", `"0.2 cm3/MPa"`, func(s S) any { return s.Config.Rear.Compliance }, near(0.2e-12)},
		},
		"[manual]": {
			{"pedal_ratio", `6.5`, func(s S) any { return s.Manual.PedalRatio }, near(6.5)},
			{"bore", `"15/16 in"`, func(s S) any { return s.Manual.Bore }, near(15.0 / 16 * 25.4e-3)},
		},
		"[reserve]": {
			{"engine", `"idle"`, func(s S) any { return s.Reserve.Engine }, sim.EngineIdle},
			{"filled_at", `"cruise"`, func(s S) any { return s.Reserve.FilledAt }, sim.EngineCruise},
			{"pedal", `"120 N"`, func(s S) any { return s.Reserve.Pedal }, near(120)},
			{"press", `"0.4 s"`, func(s S) any { return s.Reserve.Press }, near(0.4)},
			{"hold", `"3 s"`, func(s S) any { return s.Reserve.Hold }, near(3)},
			{"release", `"0.5 s"`, func(s S) any { return s.Reserve.Release }, near(0.5)},
			{"pause", `"7 s"`, func(s S) any { return s.Reserve.Pause }, near(7)},
			{"stops", `8`, func(s S) any { return s.Reserve.Stops }, 8},
			{"force_limit", `"450 N"`, func(s S) any { return s.Reserve.ForceLimit }, near(450)},
			{"share_limit", `0.2`, func(s S) any { return s.Reserve.ShareLimit }, near(0.2)},
		},
		"[[press]]": {
			{"at", `"5 s"`, func(s S) any { return s.Presses[0].At }, near(5)},
			{"pedal", `"150 N"`, func(s S) any { return s.Presses[0].Pedal }, near(150)},
			{"press", `"0.2 s"`, func(s S) any { return s.Presses[0].Press }, near(0.2)},
			{"hold", `"2 s"`, func(s S) any { return s.Presses[0].Hold }, near(2)},
			{"release", `"0.1 s"`, func(s S) any { return s.Presses[0].Release }, near(0.1)},
		},
		"[[event]]": {
			{"at", `"20 s"`, func(s S) any { return s.Events[0].At }, near(20)},
			{"engine", `"off"`, func(s S) any { return s.Events[0].Engine }, sim.EngineOff},
		},
		"[[fault]]": {
			{"name", `"front-shell-leak"`, func(s S) any { return s.Config.Faults[0].Name }, sim.FaultFrontShellLeak},
			{"area", `"0.05 mm2"`, func(s S) any { return s.Config.Faults[0].Area }, near(0.05e-6)},
		},
		"[[reading]]": {
			{"test", `"leak-down"`, func(s S) any { return s.Readings[0].Test }, scenario.LeakDown},
			{"pedal", `"0 N"`, func(s S) any { return s.Readings[0].Pedal }, near(0)},
			{"start", `"66.7 kPa"`, func(s S) any { return s.Readings[0].Start }, near(66700)},
			{"lasts", `"15 s"`, func(s S) any { return s.Readings[0].Lasts }, near(15)},
			{"drop", `"9 kPa"`, func(s S) any { return s.Readings[0].Drop }, near(9000)},
			{"error", `"1 kPa"`, func(s S) any { return s.Readings[0].Error }, near(1000)},
		},
		"[choose]": {
			{"deceleration", `"0.7 g"`, func(s S) any { return s.Choose.Deceleration }, near(0.7 * 9.80665)},
			{"pedal_limit", `"260 N"`, func(s S) any { return s.Choose.PedalLimit }, near(260)},
			{"stops_left", `3`, func(s S) any { return s.Choose.StopsLeft }, 3},
			{"recharge_limit", `"12 s"`, func(s S) any { return s.Choose.RechargeLimit }, near(12)},
			{"travel_limit", `"120 mm"`, func(s S) any { return s.Choose.TravelLimit }, near(0.12)},
			{"max_diameter", `"9 in"`, func(s S) any { return s.Choose.MaxDiameter }, near(0.2286)},
			{"boosters", `["7 in", "8 in + 8 in", "none"]`, func(s S) any {
				var texts []string
				for _, b := range s.Choose.Boosters {
					texts = append(texts, fmt.Sprintf("%s/%d/%t", b, len(b.Diameters), b.None()))
				}
				return texts
			}, []string{"7 in/1/false", "8 in + 8 in/2/false", "none/0/true"}},
			{"reservoirs", `["0 L", "2 L"]`, func(s S) any { return s.Choose.Reservoirs }, []si.Volume{0, 2 * si.Litre}},
			{"pumps", `[false, true]`, func(s S) any { return s.Choose.Pumps }, []bool{false, true}},
			{"bores", `["7/8 in", "1 in"]`, func(s S) any { return s.Choose.Bores[1] }, near(25.4e-3)},
			{"manual_ratios", `[5.5, 6.5]`, func(s S) any { return s.Choose.ManualRatios }, []si.Ratio{5.5, 6.5}},
		},
	}
}

// document writes the rows as a scenario.
func document(tables map[string][]row) string {
	var b strings.Builder
	b.WriteString("title = \"Bench two\"\n")
	for header, rows := range tables {
		b.WriteString(header + "\n")
		for _, r := range rows {
			b.WriteString(r.key + " = " + r.toml + "\n")
		}
	}
	return b.String()
}

func requireValue(t *testing.T, r row, s *scenario.Scenario) {
	t.Helper()
	want, ok := r.want.(approx)
	if !ok {
		require.Equal(t, r.want, r.got(s), r.key)
		return
	}
	require.InDelta(t, want.value, number(r.got(s)), want.within, r.key)
}

func TestEveryKeyOfTheFormatIsRead(t *testing.T) {
	all := tables()
	s, err := scenario.Read(strings.NewReader(document(all)), "bench.toml")
	require.NoError(t, err)
	require.Empty(t, s.Warnings)
	require.Equal(t, "Bench two", s.Title)
	for header, rows := range all {
		for _, r := range rows {
			t.Run(header+r.key, func(t *testing.T) { requireValue(t, r, s) })
		}
	}
}

// A flag must come to the same as the key in the file, with and without quotes.
func TestFlagsAreReadAsTheFileIs(t *testing.T) {
	for header, rows := range tables() {
		table := strings.Trim(header, "[]")
		if strings.HasPrefix(header, "[[") {
			table += "[0]"
		}
		for _, r := range rows {
			for _, text := range []string{r.toml, strings.Trim(r.toml, `"`)} {
				if table == "fault[0]" || table == "reading[0]" || table == "press[0]" || table == "event[0]" {
					continue
				}
				t.Run(table+"."+r.key+"="+text, func(t *testing.T) {
					s, err := scenario.Builtin(table + "." + r.key + "=" + text)
					require.NoError(t, err)
					if table == "pump" || table == "reservoir" {
						require.True(t, s.IsSet(table))
					}
					requireValue(t, r, s)
				})
			}
		}
	}
}

func TestFlagsMakeElements(t *testing.T) {
	s, err := scenario.Builtin("press[0].at=5 s", "press[0].pedal=150 N", "press[1].at=20 s", "press[1].deceleration=0.5 g",
		"fault[0].name=hose-leak", "fault[0].area=2 mm2")
	require.NoError(t, err)
	require.Len(t, s.Presses, 2)
	assert.Equal(t, sim.Press{At: 5, Pedal: 150, Press: 0.3, Hold: 2, Release: 0.3}, s.Presses[0])
	assert.Equal(t, sim.Press{At: 20, Pedal: 500, Deceleration: 0.5 * si.StandardGravity, Press: 0.3, Hold: 2, Release: 0.3}, s.Presses[1])
	assert.Equal(t, []sim.Fault{{Name: sim.FaultHoseLeak, Area: 2e-6}}, s.Config.Faults)
}
