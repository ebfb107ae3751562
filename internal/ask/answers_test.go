package ask

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/internal/answertest"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

const folder = "../../testdata/answers"

func read(t *testing.T, name string) (*Answers, error) {
	t.Helper()
	a, err := Blank()
	require.NoError(t, err)
	f, err := os.Open(filepath.Join(folder, name))
	require.NoError(t, err)
	defer f.Close()
	return a, a.Read(f, name)
}

// first files as new users write them: each becomes a car, or is told in one line a
// problem what is wrong, at its place.
func TestFilesOfAnswers(t *testing.T) {
	t.Parallel()
	// The lines that are wrong, with the question; none where the file is an answer.
	files := map[string][]string{
		"big-cam.txt": nil, "only-a-gauge.txt": nil, "nothing-known.txt": nil, "half-known.txt": nil, "metric.txt": nil,
		"manual-gearbox.txt": nil, "no-booster.txt": nil, "want-manual.txt": nil, "pump-and-tank.txt": nil, "bare-numbers.txt": nil,
		"psi.txt":               {"1: vacuum in gear"},
		"radius-for-height.txt": {"1: tyres", "2: front discs"},
		"swapped.txt":           {"2: vacuum in neutral"},
		"nonsense.txt":          {"1: vacuum in gear", "2: booster", "3: pedal", "4: bore", "5: front brakes", "6: weight", "7: wish"},
		"twice.txt":             {"2: bore"},
		"prose.txt":             {"1: answer"},
		"empty.txt":             {"1: answers"},
		"misspelt.txt":          {"1: boster", "2: vaccum in gear"},
		"pass-high.txt":         {"2: altitude", "3: altitude of nothing"},
		"heavy-truck.txt":       {"1: weight", "2: tank or pump"},
	}
	shipped, err := os.ReadDir(folder)
	require.NoError(t, err)
	for _, f := range shipped {
		assert.Contains(t, files, f.Name(), "say here what it is answered with")
	}
	for name, problems := range files {
		a, err := read(t, name)
		if err == nil {
			_, err = a.Car()
		}
		if problems == nil {
			assert.NoError(t, err, name)
			continue
		}
		var input *scenario.InputError
		require.True(t, errors.As(err, &input), "%s: %v", name, err)
		var at []string
		for _, p := range input.Problems {
			at = append(at, fmt.Sprintf("%d: %s", p.Line, p.Key))
			assert.Equal(t, name, p.File)
			assert.NotEmpty(t, p.Read, name)
			assert.NotEmpty(t, p.Want, name)
			assert.NotContains(t, p.String(), "\n")
		}
		assert.Equal(t, problems, at, name)
	}
}

// What the answers mean in a scenario.
func TestAnswersAsSettings(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ question, text, want string }{
		{VacuumInGear, "11", "source.vacuum=11 inHg"},
		{VacuumInGear, "9 Hg", "source.vacuum=9 inHg"},
		{VacuumInGear, `9"`, "source.vacuum=9 inHg"},
		{VacuumInGear, "9-12 inHg", "source.vacuum=10.5 inHg ± 1.5 inHg"},
		{VacuumInGear, "9 inHg to 12", "source.vacuum=10.5 inHg ± 1.5 inHg"},
		{VacuumInGear, "about 10,5 in. Hg", "source.vacuum=10.5 inHg"},
		{VacuumInGear, "40 kPa", "source.vacuum=40 kPa"},
		{BoosterSize, `9"`, "booster.diameter=9 in"},
		{BoosterSize, "9 inch dual", `booster.diameter=["9 in", "9 in"]`},
		{BoosterSize, "8+9", `booster.diameter=["8 in", "9 in"]`},
		{BoosterSize, "8 in x 8 in", `booster.diameter=["8 in", "8 in"]`},
		{BoosterSize, "230 mm", "booster.diameter=230 mm"},
		{BoosterSize, "9 or 10", "booster.diameter=9.5 in ± 0.5 in"},
		{BoosterSize, "none", "booster.kind=none"},
		{PedalLengths, "12 in and 3 in", "pedal.ratio=4"},
		{PedalLengths, `12" / 3"`, "pedal.ratio=4"},
		{PedalLengths, "300 mm, 75 mm", "pedal.ratio=4"},
		{PedalLengths, "13 1/2 in and 2 1/4 in", "pedal.ratio=6"},
		{PedalLengths, "4:1", "pedal.ratio=4"},
		{PedalLengths, "4.5 to 1", "pedal.ratio=4.5"},
		{PedalLengths, "4.5", "pedal.ratio=4.5"},
		{PedalLengths, "4-5", "pedal.ratio=4.5 ± 0.5"},
		{MasterBore, "15/16", "master.bore=0.9375 in"},
		{MasterBore, "1 1/8 in", "master.bore=1.125 in"},
		{MasterBore, "24", "master.bore=0.9449 in"},
		{FrontBrakes, "4 piston 1.75 in", "brake.front.kind=disc brake.front.piston_diameter=1.75 in brake.front.pistons=2"},
		{FrontBrakes, "disc, 1 piston 2.75 in", "brake.front.kind=disc brake.front.piston_diameter=2.75 in"},
		{FrontBrakes, "disc, 2 pistons 43 mm", "brake.front.kind=disc brake.front.piston_diameter=43 mm brake.front.pistons=2"},
		{FrontBrakes, "2 x 43 mm caliper", "brake.front.kind=disc brake.front.piston_diameter=43 mm brake.front.pistons=2"},
		{RearBrakes, "drums, leading-trailing, 7/8", "brake.rear.kind=leading-trailing brake.rear.piston_diameter=0.875 in"},
		{Weight, "3300 lbs, 55% front", "car.mass=3300 lb car.front_share=0.55"},
		{Weight, "1900 lb front, 1500 lb rear", "car.mass=3400 lb car.front_share=0.5588"},
		{Weight, "2600 lb, 52/48", "car.mass=2600 lb car.front_share=0.52"},
		{Weight, "1,500 kg", "car.mass=1500 kg"},
		{Tyres, "26 in tall", "car.tyre_radius=12.62 in"},
		{Tyres, "P205/70R14", "car.tyre_radius=12.28 in"},
		{Tyres, "205/70-14", "car.tyre_radius=12.28 in"},
		{HomeAltitude, "1,200 feet", "ambient.altitude=1200 ft"},
		{TankOrPump, "2 quart tank", "reservoir.volume=1.893 L"},
		{Wish, "lighter pedal, room for 9 inches", "choose.pedal_limit=40 lbf choose.max_diameter=9 in"},
		{Wish, "lighter pedal and more stops", "choose.pedal_limit=40 lbf choose.stops_left=4"},
		{Wish, "more stops with a lighter pedal", "choose.stops_left=4 choose.pedal_limit=40 lbf"},
		{Weight, "1.5 t", "car.mass=1500 kg"},
		{Weight, "0.8 t front, 0.7 t rear", "car.mass=1500 kg car.front_share=0.5333"},
		{Weight, "3 300 lb", "car.mass=3300 lb"},
		{VacuumInGear, "12ish", "source.vacuum=12 inHg"},
	} {
		a, err := Blank()
		require.NoError(t, err)
		if !assert.NoError(t, a.Put(c.question, c.text), "%s = %s", c.question, c.text) {
			continue
		}
		var got []string
		for _, e := range a.given[c.question].entries {
			got = append(got, e.path+"="+e.value)
		}
		assert.Equal(t, c.want, strings.Join(got, " "), "%s = %s", c.question, c.text)
	}
}

// What people say of a part means the same to ask and in a scenario.
func TestAnswersMeanWhatKeysDo(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		question, text, keys string
		of                   func(c *sim.Config) float64
	}{
		{FrontDiscs, "11 in", "[brake.front]\nrotor_diameter = \"11 in\"", func(c *sim.Config) float64 { return float64(c.Car.FrontBrake.Radius) }},
		{VacuumInNeutral, "17 inHg", "[source]\nvacuum_in_neutral = \"17 inHg\"", func(c *sim.Config) float64 { return float64(c.Source.Vacuum) }},
		{Tyres, "P205/70R14", "[car]\ntyre_radius = \"P205/70R14\"", func(c *sim.Config) float64 { return float64(c.Car.TyreRadius) }},
		{Tyres, "26 in tall", "[car]\ntyre_diameter = \"26 in\"", func(c *sim.Config) float64 { return float64(c.Car.TyreRadius) }},
	} {
		a, err := Blank()
		require.NoError(t, err)
		require.NoError(t, a.Put(c.question, c.text))
		car, err := a.Car()
		require.NoError(t, err)
		s, err := scenario.Read(strings.NewReader(c.keys), "keys")
		require.NoError(t, err)
		assert.InEpsilon(t, c.of(&s.Config), c.of(&car.Scenario.Config), 1e-3, "%s = %s", c.question, c.text)
	}
}

// The rolling radius of a tyre by its code: 205 mm × 0.70 on either side of a rim of 14 in
// are 642.6 mm, and 3.05 of that are one turn.
func TestTyreCode(t *testing.T) {
	t.Parallel()
	entries, err := readTyres("P205/70R14")
	require.NoError(t, err)
	assert.InDelta(t, 3.05*0.6426/(2*3.14159265), entries[0].span.middle(), 1e-4)
}

// The figures of the page are those that the verbs give for the car that was saved, and
// what it recommends is what the choice does.
func TestPageIsThatOfTheVerbs(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"big-cam.txt", "bare-numbers.txt"} {
		a, err := read(t, name)
		require.NoError(t, err)
		car, err := a.Car()
		require.NoError(t, err)
		page, err := car.Page(context.Background(), nil)
		require.NoError(t, err)
		saved, err := scenario.Read(strings.NewReader(car.Document()), "saved")
		require.NoError(t, err)
		verbs := func(set ...scenario.Setting) *scenario.Scenario {
			s, err := saved.Edit(set)
			require.NoError(t, err)
			s.Spreads = nil
			return s
		}
		curve, err := study.Curve(context.Background(), verbs(), study.CurveOptions{})
		require.NoError(t, err)
		assert.Equal(t, curve.Curves[0].HardStopPedal, page.Situations[1].Pedal, name)
		dead, err := study.Reserve(context.Background(), verbs(), nil)
		require.NoError(t, err)
		assert.Equal(t, answer.Of(float64(dead.EasyStops)), page.Situations[3].Easy, name)
		assert.Equal(t, answer.Of(float64(dead.HeavyStops)), page.Situations[3].Heavy, name)
		assert.Equal(t, dead.Stops[0].Needed, page.Situations[3].Pedal, name)
		town, err := study.Reserve(context.Background(), verbs(
			scenario.Setting{Path: "reserve.engine", Value: "idle"}, scenario.Setting{Path: "reserve.pause", Value: "7.4 s"}), nil)
		require.NoError(t, err)
		assert.InEpsilon(t, float64(town.Stops[0].Needed.Value()), float64(page.Situations[0].Pedal.Value()), 1e-9, name)
		assert.InEpsilon(t, float64(town.Stops[hardest(town)].Needed.Value()), float64(page.Situations[2].Pedal.Value()), 1e-9, name)
		// The standing, from which all that is not known is ranked, is that of the verbs too.
		stand, err := study.Stand(context.Background(), verbs(), 0)
		require.NoError(t, err)
		assert.Equal(t, curve.Curves[0].HardStopPedal, stand.Panic.Pedal, name)
		assert.Equal(t, dead.EasyStops, stand.Dead.Easy, name)
		assert.Equal(t, dead.HeavyStops, stand.Dead.Heavy, name)
		assert.InEpsilon(t, float64(town.Stops[0].Needed.Value()), float64(stand.Everyday.Value()), 1e-9, name)
	}
}

// With a pump every day's stop is the one in which it helps least, as reserve and choose
// count it.
func TestEveryDayWithAPump(t *testing.T) {
	t.Parallel()
	a, err := Blank()
	require.NoError(t, err)
	for question, text := range map[string]string{VacuumInGear: "9 inHg", BoosterSize: "9 in", TankOrPump: "pump"} {
		require.NoError(t, a.Put(question, text))
	}
	car, err := a.Car()
	require.NoError(t, err)
	middle := *car.Scenario
	middle.Spreads = nil
	p := &Page{car: car}
	require.NoError(t, p.stops(t.Context(), &middle))
	stand, err := study.Stand(t.Context(), &middle, 1)
	require.NoError(t, err)
	assert.InEpsilon(t, float64(stand.Everyday.Value()), float64(p.Situations[0].Pedal.Value()), 2e-3)
	idling, err := middle.Edit([]scenario.Setting{{Path: "reserve.engine", Value: "idle"}})
	require.NoError(t, err)
	r, err := study.Reserve(t.Context(), idling, nil)
	require.NoError(t, err)
	assert.InEpsilon(t, float64(r.Pump.Needed.Value()), float64(p.Situations[0].Pedal.Value()), 2e-3)
	assert.Greater(t, float64(p.Situations[0].Pedal.Value()), float64(r.Stops[0].Needed.Value())+1)
}

// The shortlist recommends what the whole choice does, with the same figures.
func TestShortlistIsThatOfChoose(t *testing.T) {
	t.Parallel()
	a, err := read(t, "bare-numbers.txt")
	require.NoError(t, err)
	car, err := a.Car()
	require.NoError(t, err)
	s := *car.Scenario
	s.Spreads = nil
	s.Choose.Boosters, s.Choose.Pumps = s.Choose.Boosters[2:6], []bool{false}
	list, err := study.Shortlisted(context.Background(), &s, nil)
	require.NoError(t, err)
	whole, err := study.Choose(context.Background(), &s, nil)
	require.NoError(t, err)
	require.NotNil(t, list.Recommended)
	same := func(short *study.ChooseOption) {
		for i := range whole.Options {
			o := &whole.Options[i]
			if o.Booster == short.Booster && o.Reservoir == short.Reservoir && o.Bore == short.Bore && o.Pump == short.Pump &&
				fmt.Sprint(o.ManualRatio) == fmt.Sprint(short.ManualRatio) {
				assert.Equal(t, o.Why, short.Why)
				assert.Equal(t, o.DeadStops, short.DeadStops)
				assert.Equal(t, fmt.Sprint(o.RunningPedal), fmt.Sprint(short.RunningPedal))
				return
			}
		}
		assert.Fail(t, "not in the choice", short.Why)
	}
	same(list.Recommended)
	assert.Equal(t, whole.Recommended.Why, list.Recommended.Why)
	assert.Equal(t, whole.Recommended.Booster, list.Recommended.Booster)
	for _, r := range list.Rivals {
		same(r.Option)
	}
}

// A range is ranked, and one that changes nothing is not; the page stays a page.
func TestPage(t *testing.T) {
	t.Parallel()
	a, err := read(t, "half-known.txt")
	require.NoError(t, err)
	car, err := a.Car()
	require.NoError(t, err)
	page, err := car.Page(context.Background(), nil)
	require.NoError(t, err)
	d := answertest.Decode(t, page, "unanswered", "easy_stops", "heavy_stops", "sure", "untried", "value", "low", "high", "turns_share",
		"manual_pedal_ratio", "margin", "assisted_stops", "dead_stops")
	answertest.HasKeys(t, d, "answers", "unanswered", "stops", "advice", "recommended", "purchases", "measure_first", "scenario")
	last := 1.1
	for _, turning := range page.Turnings {
		assert.LessOrEqual(t, turning.Share, last)
		last = turning.Share
		if turning.Share > 0 {
			assert.NotNil(t, turning.Then, turning.Name)
		}
		assert.NotEmpty(t, turning.Measure, turning.Name)
	}
	assert.Greater(t, page.Turnings[0].Share, 0.0)
	assert.LessOrEqual(t, len(page.Purchases), mostPurchases)
	for _, s := range page.Situations {
		assert.NotEmpty(t, s.Verdict, s.When)
	}
	assert.NotEmpty(t, page.Words(si.US))
}

// Every question can be asked and answered by its examples; none is asked twice.
func TestQuestions(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for _, q := range Questions() {
		assert.False(t, seen[q.Name], q.Name)
		seen[q.Name] = true
		assert.NotEmpty(t, q.For, q.Name)
		assert.NotEmpty(t, q.Measure, q.Name)
		a, err := Blank()
		require.NoError(t, err)
		for _, example := range q.Examples {
			assert.NoError(t, a.Put(q.Name, example), "%s = %s", q.Name, example)
		}
		assert.NoError(t, a.Put(q.Name, DontKnow), q.Name)
		assert.False(t, a.given[q.Name].known, q.Name)
		for _, key := range q.keys {
			assert.True(t, scenario.Known(key), key)
		}
	}
	for other, name := range alsoCalled {
		assert.True(t, seen[name], other)
		assert.False(t, seen[other], other)
	}
	for i := range usual {
		assert.True(t, scenario.Known(usual[i].key), usual[i].key)
	}
}
