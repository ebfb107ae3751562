package scenario_test

import (
	"errors"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
)

// car is the least that a document must say.
const car = `[booster]
diameter = "10 in"
[pedal]
ratio = 4
[master]
bore = "1 in"
[source]
kind = "engine"
vacuum = "18 inHg"
`

// with returns car with one text in place of another.
func with(old, now string) string { return strings.Replace(car, old, now, 1) }

var malformed = []struct {
	name  string
	doc   string
	flags []string
	want  []string
}{
	{"empty document", ``, nil, []string{
		`car.toml:1: document: read an empty document, want at least one table or key, such as [source] and below it vacuum = "18 inHg"`,
	}},
	{"only blank lines", "\n \t\n", nil, []string{
		`car.toml:1: document: read an empty document, want at least one table or key, such as [source] and below it vacuum = "18 inHg"`,
	}},
	{"only a comment", "# nothing yet\n", nil, []string{
		`car.toml:1: document: read an empty document, want at least one table or key, such as [source] and below it vacuum = "18 inHg"`,
	}},
	{"flags do not make up for an empty document", ``, []string{`pedal.ratio=4`}, []string{
		`car.toml:1: document: read an empty document, want at least one table or key, such as [source] and below it vacuum = "18 inHg"`,
	}},
	{"misspelt key", car + `vaccum = "18 inHg"`, nil, []string{
		`car.toml:10: source.vaccum: read an unknown key, want a known key, perhaps source.vacuum`,
	}},
	{"unheard-of key", car + `colour = "red"`, nil, []string{
		`car.toml:10: source.colour: read an unknown key, want a key that "kneepoint keys" lists`,
	}},
	{"key of another table", car + "[hose]\njump_in = \"600 N\"", nil, []string{
		`car.toml:11: hose.jump_in: read an unknown key, want a known key, perhaps booster.jump_in`,
	}},
	{"key without its table", "diameter = \"10 in\"\n" + car, nil, []string{
		`car.toml:1: diameter: read an unknown key, want a known key, perhaps booster.diameter`,
	}},
	{"misspelt table", car + "[boster]\nratio = 5", nil, []string{
		`car.toml:10: boster: read an unknown table, want a known one, perhaps [booster]`,
	}},
	{"unheard-of table, empty", car + "[boot.floor]", nil, []string{
		`car.toml:10: boot.floor: read an unknown table, want a table that "kneepoint keys" lists`,
	}},
	{"one of several as a single table", car + "[press]\nat = \"1 s\"", nil, []string{
		`car.toml:10: press: read [press], want [[press]], since there can be several`,
	}},
	{"single table as one of several", car + "[[hose]]\narea = \"18 mm2\"", nil, []string{
		`car.toml:10: hose: read [[hose]], want [hose], since there can be only one`,
	}},
	{"list for several tables", "press = [1]\n" + car, nil, []string{
		`car.toml:1: press: read 1, want a list of tables`,
	}},
	{"value for a table", "hose = \"18 mm2\"\n" + car, nil, []string{
		`car.toml:1: hose: read "18 mm2", want a table with keys, such as hose.area`,
	}},
	{"key twice", with(`ratio = 4`, "ratio = 4\nratio = 5"), nil, []string{
		`car.toml:5: pedal.ratio: read 5 again, want each key once; the first is in line 4`,
	}},
	{"table twice", car + "[pedal]\nratio = 5", nil, []string{
		`car.toml:10: pedal: read [pedal] again, want each table once; the first is in line 3`,
	}},
	{"dotted key in quotes", "\"pedal.ratio\" = 5\n" + car, nil, []string{
		`car.toml:1: "pedal.ratio": read an unknown key, want a known key, perhaps pedal.ratio`,
	}},
	{"unknown key in an inline table", "hose = { area = \"18 mm2\", spring = 1 }\n" + car, nil, []string{
		`car.toml:1: hose.spring: read an unknown key, want a known key, perhaps booster.spring`,
	}},
	{"vacuum without unit", with(`"18 inHg"`, `3`), nil, []string{
		`car.toml:9: source.vacuum: read 3 without a unit, want "3 kPa" or "3 inHg"`,
	}},
	{"vacuum without unit, in quotes", with(`18 inHg`, `3`), nil, []string{
		`car.toml:9: source.vacuum: read "3", which has no unit, want a vacuum in kPa, MPa, Pa, bar, mbar, mmHg, inHg or psi, e.g. "20 inHg"`,
	}},
	{"vacuum without quotes", with(`"18 inHg"`, `66.7 kPa # gauge`), nil, []string{
		`car.toml:9: source.vacuum: read 66.7 kPa without quotes, want vacuum = "66.7 kPa"`,
	}},
	{"word without quotes", with(`"engine"`, `engine`), nil, []string{
		`car.toml:8: source.kind: read engine without quotes, want kind = "engine"`,
	}},
	{"unit of another dimension", with(`18 inHg`, `18 ft`), nil, []string{
		`car.toml:9: source.vacuum: read "18 ft", which is a length, want a vacuum, e.g. "20 inHg" or "67.7 kPa"`,
	}},
	{"unknown unit", with(`1 in"`, `1 zoll"`), nil, []string{
		`car.toml:6: master.bore: read "1 zoll", which has the unknown unit "zoll", want a length in mm, cm, m, in or ft, e.g. "10 in"`,
	}},
	{"milli for mega", car + "[choose]\nline_pressure = \"5 mPa\"", nil, []string{
		`car.toml:11: choose.line_pressure: read "5 mPa", which has "mPa", where small m is milli and capital M is mega, want "MPa"`,
	}},
	{"two commas", with(`18 inHg`, `1,8,5 inHg`), nil, []string{
		`car.toml:9: source.vacuum: read "1,8,5 inHg", which has a comma (write 10.5 or 1000), want a vacuum, e.g. "20 inHg" or "67.7 kPa"`,
	}},
	{"list for one value", with(`ratio = 4`, `ratio = [4, 5]`), nil, []string{
		`car.toml:4: pedal.ratio: read a list of 2, want a number`,
	}},
	{"truth for a length", with(`"1 in"`, `true`), nil, []string{
		`car.toml:6: master.bore: read true, want a length as a text with its unit`,
	}},
	{"word for a number", with(`ratio = 4`, `ratio = "four"`), nil, []string{
		`car.toml:4: pedal.ratio: read "four", which does not begin with a number, want a number`,
	}},
	{"date for a number", with(`ratio = 4`, `ratio = 2024-01-01`), nil, []string{
		`car.toml:4: pedal.ratio: read the date or time 2024-01-01, want a number`,
	}},
	{"no number", with(`ratio = 4`, `ratio = nan`), nil, []string{
		`car.toml:4: pedal.ratio: read nan, want a finite number`,
	}},
	{"infinite number", with(`ratio = 4`, `ratio = inf`), nil, []string{
		`car.toml:4: pedal.ratio: read inf, want a finite number`,
	}},
	{"number for a word", with(`"engine"`, `5`), nil, []string{
		`car.toml:8: source.kind: read 5, want "bench" or "engine"`,
	}},
	{"word that is none of the choices", with(`"engine"`, `"diesel"`), nil, []string{
		`car.toml:8: source.kind: read "diesel", want "bench" or "engine"`,
	}},
	{"number for a truth", car + "[reservoir]\ninlet_valve = 1", nil, []string{
		`car.toml:11: reservoir.inlet_valve: read 1, want true or false`,
	}},
	{"part of a stop", car + "[reserve]\nstops = 2.5", nil, []string{
		`car.toml:11: reserve.stops: read 2.5, want a whole number from 1 to 1000`,
	}},
	{"no stop", car + "[reserve]\nstops = 0", nil, []string{
		`car.toml:11: reserve.stops: read 0, want 1 to 1000`,
	}},
	{"too many stops", car + "[reserve]\nstops = 1001", nil, []string{
		`car.toml:11: reserve.stops: read 1001, want 1 to 1000`,
	}},
	{"three diaphragms", with(`"10 in"`, `["7 in", "8 in", "9 in"]`), nil, []string{
		`car.toml:2: booster.diameter: read a list of 3, want at most 2`,
	}},
	{"no diaphragm", with(`"10 in"`, `[]`), nil, []string{
		`car.toml:2: booster.diameter: read an empty list, want at least one length`,
	}},
	{"list in a list", car + "[choose]\nbores = [[\"1 in\"]]", nil, []string{
		`car.toml:11: choose.bores: read a list of 1, want a length as a text with its unit`,
	}},
	{"item without unit", car + "[choose]\nbores = [\"1 in\", 3]", nil, []string{
		`car.toml:11: choose.bores: read 3 without a unit, want "3 mm" or "3 in"`,
	}},
	{"size without unit", car + "[choose]\nboosters = [\"3\"]", nil, []string{
		`car.toml:11: choose.boosters: read "3", which is no size that boosters come in, want a size such as "8 in", "8 in + 8 in" or "none"`,
	}},
	{"size of three", car + "[choose]\nboosters = [\"8 in + 9 in + 10 in\"]", nil, []string{
		`car.toml:11: choose.boosters: read "8 in + 9 in + 10 in", which has 3 diaphragms, want a size such as "8 in", "8 in + 8 in" or "none"`,
	}},
	{"tolerance of another dimension", with(`18 inHg`, `18 inHg ± 1 mm`), nil, []string{
		`car.toml:9: source.vacuum: read "18 inHg ± 1 mm", which has a half width that is a length, want a vacuum, e.g. "20 inHg" or "67.7 kPa"`,
	}},
	{"tolerance in a list", with(`"10 in"`, `["8 in ± 0.1", "9 in"]`), nil, []string{
		`car.toml:2: booster.diameter: read "8 in ± 0.1", want a list without tolerances`,
	}},
	{"thin air, and hot", car + "[ambient]\npressure = \"30 kPa\"\ntemperature = \"90 C\"", nil, []string{
		`car.toml:11: ambient.pressure: read "30 kPa", want 40 kPa to 110 kPa`,
		`car.toml:12: ambient.temperature: read "90 C", want -50 °C to 60 °C`,
	}},
	{"altitude out of the troposphere's reach", car + "[ambient]\naltitude = \"12000 m\"", nil, []string{
		`car.toml:11: ambient.altitude: read "12000 m", want -500 m to 7000 m`,
	}},
	{"altitude and pressure", car + "[ambient]\naltitude = \"0 m\"\npressure = \"95 kPa\"", nil, []string{
		`car.toml:12: ambient.pressure: read "95 kPa", want either it or ambient.altitude, not both`,
	}},
	{"boost ratio below 1", with(`diameter`, "ratio = 0.5\ndiameter"), nil, []string{
		`car.toml:2: booster.ratio: read 0.5, want 1 to 100`,
	}},
	{"negative spring", with(`diameter`, "spring = \"-1 N\"\ndiameter"), nil, []string{
		`car.toml:2: booster.spring: read "-1 N", want 0 N to 20000 N`,
	}},
	{"absurd volume", with(`diameter`, "front_volume = \"101 L\"\ndiameter"), nil, []string{
		`car.toml:2: booster.front_volume: read "101 L", want more than 0, at most 100 L`,
	}},
	{"absurd area", with(`diameter`, "area = \"0.6 m2\"\ndiameter"), nil, []string{
		`car.toml:2: booster.area: read "0.6 m2", want more than 0, at most 0.5 m²`,
	}},
	{"tail that applies the booster", with(`diameter`, "tail_area = \"30 cm2\"\ndiameter"), nil, []string{
		`car.toml:2: booster.tail_area: read "30 cm2", want area × vacuum, here 182.9 N at 60.95 kPa (18 inHg), below the spring preload of 110 N, or the booster applies itself`,
	}},
	{"spring that does not hold the tail", with(`diameter`, "spring = \"50 N\"\ndiameter"), nil, []string{
		`car.toml:2: booster.spring: read "50 N" with booster.tail_area 11 cm², want area × vacuum, here 67.05 N at 60.95 kPa (18 inHg), below the spring preload of 50 N, or the booster applies itself`,
	}},
	{"vacuum above ambient", with(`18 inHg`, `102 kPa`), nil, []string{
		`car.toml:9: source.vacuum: read "102 kPa", want less than the ambient pressure of 101.3 kPa (29.92 inHg)`,
	}},
	{"negative vacuum", with(`18 inHg`, `-18 inHg`), nil, []string{
		`car.toml:9: source.vacuum: read "-18 inHg", want 0 or more; a vacuum counts up from the ambient pressure`,
	}},
	{"vacuum above ambient at altitude", with(`18 inHg`, `28 inHg`) + "[ambient]\naltitude = \"3000 m\"", nil, []string{
		`car.toml:9: source.vacuum: read "28 inHg", want less than the ambient pressure of 20.7 inHg (70.11 kPa)`,
	}},
	{"no vacuum left at altitude", with(`18 inHg`, `5 inHg`) + "measured_at = \"0 m\"\n[ambient]\naltitude = \"3000 m\"", nil, []string{
		`car.toml:9: source.vacuum: read "5 inHg", want more than 9.218 inHg (31.22 kPa), or of a reading at 29.92 inHg (101.3 kPa) nothing is left at 20.7 inHg (70.11 kPa)`,
	}},
	{"bore of a metre", with(`1 in"`, `1 m"`), nil, []string{
		`car.toml:6: master.bore: read "1 m", want 5 mm to 80 mm`,
	}},
	{"pump that stops before it starts", car + "[pump]\non = \"20 inHg\"\noff = \"14 inHg\"", nil, []string{
		`car.toml:12: pump.off: read "14 inHg", want more than the vacuum at which it starts, 20 inHg (67.73 kPa)`,
	}},
	{"pistons without diameter", car + "[brake.front]\npistons = 2", nil, []string{
		`car.toml:11: brake.front.pistons: read 2, want brake.front.piston_diameter with it`,
	}},
	{"pistons' area twice", car + "[brake.front]\npiston_diameter = \"60 mm\"\npiston_area = \"30 cm2\"", nil, []string{
		`car.toml:12: brake.front.piston_area: read "30 cm2", want either it or brake.front.piston_diameter, not both`,
	}},
	{"force and deceleration", car + "[reserve]\npedal = \"100 N\"\ndeceleration = \"0.5 g\"", nil, []string{
		`car.toml:12: reserve.deceleration: read "0.5 g", want either it or reserve.pedal, not both`,
	}},
	{"empty press", car + "[[press]]", nil, []string{
		`car.toml:10: press[0].at: read nothing, want a time such as "5 s"`,
		`car.toml:10: press[0].pedal: read nothing, want a force such as "150 N", or a deceleration`,
	}},
	{"press before the start", car + "[[press]]\nat = \"-5 s\"\npedal = \"100 N\"", nil, []string{
		`car.toml:11: press[0].at: read "-5 s", want 0 s to 86400 s`,
	}},
	{"press in a press", car + "[[press]]\nat = \"5 s\"\npedal = \"100 N\"\n[[press]]\nat = \"6 s\"\npedal = \"100 N\"", nil, []string{
		`car.toml:14: press[1].at: read "6 s", want 7.6 s or later, when the press before it has ended`,
	}},
	{"unknown state of the engine", car + "[[event]]\nat = \"5 s\"\nengine = \"stalled\"", nil, []string{
		`car.toml:12: event[0].engine: read "stalled", want "idle", "overrun", "cruise", "snap" or "off"`,
	}},
	{"leak without area", car + "[[fault]]\nname = \"hose-leak\"\nopen = 0.5", nil, []string{
		`car.toml:10: fault[0].area: read nothing, want an area such as "0.05 mm2"`,
		`car.toml:12: fault[0].open: read 0.5, want only area for hose-leak`,
	}},
	{"more than open", car + "[[fault]]\nname = \"hose-restricted\"\nopen = 1.5", nil, []string{
		`car.toml:12: fault[0].open: read 1.5, want 0 to 1`,
	}},
	{"fault without severity", car + "[[fault]]\nname = \"bore-oversize\"", nil, []string{
		`car.toml:10: fault[0].severity: read nothing, want a number from 0 to 1`,
	}},
	{"reading with another test's keys", car + "[[reading]]\ntest = \"leak-down\"\npedal = \"0 N\"\nstart = \"20 inHg\"\nvalue = \"3 kPa\"", nil, []string{
		`car.toml:10: reading[0].lasts: read nothing, want a time such as "15 s"`,
		`car.toml:10: reading[0].drop: read nothing, want a vacuum such as "1 inHg"`,
		`car.toml:14: reading[0].value: read "3 kPa", want only pedal, start, lasts, drop for leak-down`,
	}},
	{"drop of more than there was", car + "[[reading]]\ntest = \"leak-down\"\npedal = \"0 N\"\nstart = \"20 inHg\"\nlasts = \"15 s\"\ndrop = \"21 inHg\"", nil, []string{
		`car.toml:15: reading[0].drop: read "21 inHg", want at most the vacuum at the start of 67.73 kPa`,
	}},
	{"a force for a travel", car + "[[reading]]\ntest = \"pedal-travel\"\npedal = \"100 N\"\nvacuum = \"0 inHg\"\ntravel = \"60 N\"\nerror = \"2 kPa\"", nil, []string{
		`car.toml:14: reading[0].travel: read "60 N", which is a force, want a length, e.g. "10 in" or "254 mm"`,
		`car.toml:15: reading[0].error: read "2 kPa", which is a pressure, want a length, e.g. "10 in" or "254 mm"`,
	}},
	{"unknown test", car + "[[reading]]\ntest = \"sniff\"", nil, []string{
		`car.toml:11: reading[0].test: read "sniff", want ` + everyTest(),
	}},
	{"header without end", "[booster\ndiameter = \"10 in\"\n", nil, []string{
		`car.toml:1: line: read [booster, want [booster]`,
	}},
	{"text without end", "[booster]\ndiameter = \"10 in\n", nil, []string{
		`car.toml:2: booster.diameter: read "10 in, want diameter = "10 in", with a quote at its end too`,
	}},
	{"list without end", "[booster]\ndiameter = [\"10 in\",\n", nil, []string{
		`car.toml:2: booster.diameter: read ["10 in",, want a ] at the end of the list`,
	}},
	{"key without value", "[booster]\ndiameter =\n", nil, []string{
		`car.toml:2: booster.diameter: read nothing behind the =, want a value, or the line left out`,
	}},
	{"what stands before a slip is read too", "[booster]\nratio = 0\n[pedal\n", nil, []string{
		`car.toml:2: booster.ratio: read 0, want 1 to 100`,
		`car.toml:3: line: read [pedal, want [pedal]`,
	}},
	{"bytes that are no text", "title = \"\xff\"", nil, []string{
		`car.toml:1: TOML: read "title = \"\xff\"", want what TOML allows here (invalid UTF-8 character in basic string)`,
	}},
	{"table after it was written inline", "hose = { area = \"18 mm2\" }\n" + car + "[hose]\nvolume = \"0.1 L\"", nil, []string{
		`car.toml:11: TOML: read "[hose]", want what TOML allows here (key hose should be a table, not a value)`,
	}},
	{"table after a dotted key", "hose.area = \"18 mm2\"\n" + car + "[hose]\nvolume = \"0.1 L\"", nil, []string{
		`car.toml:11: TOML: read "[hose]", want what TOML allows here (table hose already exists as defined by a dotted key)`,
	}},
	{"impossible date", car + "[hose]\narea = 2024-99-99", nil, []string{
		`car.toml:11: hose.area: read the date or time 2024-99-99, want an area as a text with its unit`,
	}},
	{"lines that end in CR LF", strings.ReplaceAll(car+"\n\n[hose]\nare = 1\n", "\n", "\r\n"), nil, []string{
		`car.toml:13: hose.are: read an unknown key, want a known key, perhaps hose.area`,
	}},
	{"byte order mark", "\xef\xbb\xbf" + with(`ratio = 4`, `ratio = -4`), nil, []string{
		`car.toml:4: pedal.ratio: read -4, want 0.1 to 25`,
	}},
	{"flag: limit", car, []string{`booster.ratio=0.5`}, []string{
		`--set booster.ratio: read 0.5, want 1 to 100`,
	}},
	{"flag: word for a number", car, []string{`booster.ratio=five`}, []string{
		`--set booster.ratio: read "five", which does not begin with a number, want a number`,
	}},
	{"flag: no unit", car, []string{`source.vacuum=3`}, []string{
		`--set source.vacuum: read 3 without a unit, want "3 kPa" or "3 inHg"`,
	}},
	{"flag: no unit, in quotes", car, []string{`source.vacuum="3"`}, []string{
		`--set source.vacuum: read "3", which has no unit, want a vacuum in kPa, MPa, Pa, bar, mbar, mmHg, inHg or psi, e.g. "20 inHg"`,
	}},
	{"flag: unknown key", car, []string{`booster.rato=5`}, []string{
		`--set booster.rato: read an unknown key, want a known key, perhaps booster.ratio`,
	}},
	{"flag: nothing but a key", car, []string{`booster.ratio`}, []string{
		`--set booster.ratio: read "booster.ratio", want path=value, such as source.vacuum="11 inHg"`,
	}},
	{"flag: no key", car, []string{`=5`}, []string{
		`--set =5: read "=5", want path=value, such as source.vacuum="11 inHg"`,
	}},
	{"flag: no value", car, []string{`master.bore=`}, []string{
		`--set master.bore: read "", which is empty, want a length, e.g. "10 in" or "254 mm"`,
	}},
	{"flag: a table", car, []string{`booster=5`}, []string{
		`--set booster: read a table, want a key in it, such as booster.diameter`,
	}},
	{"flag: no index", car, []string{`press.pedal=5 N`}, []string{
		`--set press.pedal: read no index, want press[0].pedal for the first [[press]]`,
	}},
	{"flag: index too high", car, []string{`press[3].pedal=5 N`}, []string{
		`--set press[3].pedal: read index 3, want at most 0, which is one more than there are`,
	}},
	{"flag: index where there is none", car, []string{`hose[0].area=5 mm2`}, []string{
		`--set hose[0].area: read an unknown key, want a known key, perhaps hose.area`,
	}},
	{"flag: more than a value", car, []string{"hose.area=5\n[booster]"}, []string{
		`--set hose.area: read "5\n[booster]", which has the unknown unit "[booster]", want an area in mm2, cm2, m2 or in2, e.g. "1 in2"`,
	}},
	{"flag: relation to a default", car, []string{`booster.spring=40 N`}, []string{
		`--set booster.spring: read "40 N" with booster.tail_area 11 cm², want area × vacuum, here 67.05 N at 60.95 kPa (18 inHg), below the spring preload of 40 N, or the booster applies itself`,
	}},
	{"flag: element left incomplete", car, []string{`press[0].at=5 s`}, []string{
		`--set press[0].pedal: read nothing, want a force such as "150 N", or a deceleration`,
	}},
	{"flags: two ways to say one thing", car, []string{`ambient.altitude=0 m`, `ambient.pressure=95 kPa`}, []string{
		`--set ambient.pressure: read "95 kPa", want either it or ambient.altitude, not both`,
	}},
	{"flag: a limit in inches", car, []string{`booster.diameter=40 in`}, []string{
		`--set booster.diameter: read "40 in", want 0.7874 in to 31.5 in`,
	}},
	{"flag: the same in millimetres", car, []string{`booster.diameter=1016 mm`}, []string{
		`--set booster.diameter: read "1016 mm", want 20 mm to 800 mm`,
	}},
	{"flag: a limit in feet", car, []string{`ambient.altitude=30000 ft`}, []string{
		`--set ambient.altitude: read "30000 ft", want -1640 ft to 22970 ft`,
	}},
	{"flags: all that is wrong", car, []string{`pedal.ratio=x`, `master.bore=-1 in`, `hose.area=0 m2`}, []string{
		`--set pedal.ratio: read "x", which does not begin with a number, want a number`,
		`--set hose.area: read "0 m2", want more than 0, at most 0.5 m²`,
		`--set master.bore: read "-1 in", want 0.1969 in to 3.15 in`,
	}},
	{"file and flag", car + "[hose]\narea = \"x\"", []string{`pedal.ratio=x`}, []string{
		`car.toml:11: hose.area: read "x", which does not begin with a number, want an area, e.g. "1 in2" or "6.45 cm2"`,
		`--set pedal.ratio: read "x", which does not begin with a number, want a number`,
	}},
}

func TestMalformedInputIsNamedWithItsPlace(t *testing.T) {
	for _, c := range malformed {
		t.Run(c.name, func(t *testing.T) {
			s, err := scenario.Read(strings.NewReader(c.doc), "car.toml", c.flags...)
			require.Nil(t, s)
			var input *scenario.InputError
			require.True(t, errors.As(err, &input), "%v", err)
			require.Equal(t, c.want, strings.Split(input.Error(), "\n"))
		})
	}
}

// everyTest is the names of all tests, as a message lists them.
func everyTest() string {
	var names []string
	for _, f := range scenario.TestForms() {
		names = append(names, strconv.Quote(string(f.Test)))
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}
