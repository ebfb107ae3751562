package study

import (
	"context"
	"encoding/json"

	"kneepoint/internal/sourcenote"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// CurveOptions says what a force curve is drawn for besides the scenario's own.
type CurveOptions struct {
	// Vacua replace the source's vacuum, one curve each. None: the source's own;
	// of one that is estimated the low end of the band, its middle and its high end.
	Vacua []si.Vacuum
	Watch Watch
}

// A ForceCurve is a slow press and release, and what is read off it.
type ForceCurve struct {
	Vacuum      answer.Optional[si.Vacuum] `json:"vacuum_pa"`
	Ambient     si.Pressure                `json:"ambient_pa"`
	Ratio       answer.Optional[si.Ratio]  `json:"ratio"`
	CutIn       CutIn                      `json:"cut_in"`
	JumpIn      JumpIn                     `json:"jump_in"`
	Knee        Knee                       `json:"knee"`
	RunOutSlope answer.Optional[si.Ratio]  `json:"run_out_slope"`
	Hysteresis  answer.Optional[si.Force]  `json:"hysteresis_n"`
	ClosedForm  *sim.ClosedForm            `json:"closed_form"`
	RampSeconds si.Time                    `json:"ramp_s"`
	HardStop    HardStop                   `json:"hard_stop"`
	// HardStopPedal is that of HardStop.
	HardStopPedal answer.Optional[si.Force] `json:"hard_stop_pedal_n"`
	Points        []CurvePoint              `json:"points"`
	kneeVacuum    si.Vacuum
	noHelp        bool
	pressingFine  []sim.State
}

// CutIn is where the output begins.
type CutIn struct {
	Pedal answer.Optional[si.Force] `json:"pedal_n"`
	Input answer.Optional[si.Force] `json:"input_n"`
}

// JumpIn is the output force at which the power line starts, on the pressing branch.
type JumpIn struct {
	Output answer.Optional[si.Force] `json:"output_n"`
}

// Knee is where the power line crosses the run-out line: all the help there is
// has been given. Without a power line there is none.
type Knee struct {
	Pedal  answer.Optional[si.Force]    `json:"pedal_n"`
	Input  answer.Optional[si.Force]    `json:"input_n"`
	Output answer.Optional[si.Force]    `json:"output_n"`
	Line   answer.Optional[si.Pressure] `json:"line_pa"`
}

// MarshalJSON writes null where there is no knee.
func (k Knee) MarshalJSON() ([]byte, error) {
	if !k.Pedal.Exists() {
		return []byte("null"), nil
	}
	type there Knee
	return json.Marshal(there(k))
}

// ManualCurve is the pedal without a booster that a curve is compared with.
type ManualCurve struct {
	PedalRatio si.Ratio  `json:"pedal_ratio"`
	Bore       si.Length `json:"bore_m"`
	// HardStop is the hard stop of the same car, HardStopPedal the force for it.
	HardStop      HardStop                  `json:"hard_stop"`
	HardStopPedal answer.Optional[si.Force] `json:"hard_stop_pedal_n"`
	Points        []CurvePoint              `json:"points"`
	pressing      []sim.State
}

// CurveResult is the answer to how much help there is, and where it ends.
type CurveResult struct {
	Curves []ForceCurve
	Manual ManualCurve
	// EasyVacuum is the least at the source with which the hard stop is easy; it does not
	// exist where it is easy as it is, and where no vacuum does it.
	EasyVacuum answer.Optional[si.Vacuum]
	title      string
	none       bool
	// estimated says that the curves are those of an estimated vacuum's band.
	estimated bool
	config    sim.Config
	guessed   []guess
	turns     []turning
	// pumped are the vacua between which a pump keeps the booster, if the curves are
	// for those.
	pumped []keptVacuum
	duty   *PumpDuty
	note   sourcenote.Note
	asked  *scenario.Scenario
}

const (
	fineSteps    = 2000 // of each branch, to read from
	shownSteps   = 200  // of each branch, to hand out
	leastTop     = si.Force(500)
	beyondKnee   = 1.3
	startsAt     = 10.0 // N of output that count as a beginning
	worthHelping = 20.0 // N of help below which there is none to speak of
)

// Curve presses the scenario's car slowly and reads the force curve, at each of
// the vacua asked for.
func Curve(ctx context.Context, s *scenario.Scenario, o CurveOptions) (*CurveResult, error) {
	r := &CurveResult{title: s.Title, none: s.Config.Booster.Kind == sim.BoosterNone, config: s.Config, note: sourcenote.On(s), asked: s}
	vacua := o.Vacua
	r.note.AsRead = r.note.AsRead && len(vacua) == 0 // what is asked about was not read
	if low, high, ok := s.EstimatedVacuum(); ok && len(vacua) == 0 && !r.none && !hasPump(s.Config) {
		vacua, r.estimated = []si.Vacuum{low, s.Config.Source.Vacuum, high}, true
	}
	cars := []keptVacuum{{config: s.Config, car: s.Config}}
	if len(vacua) > 0 {
		cars = cars[:0]
		for _, v := range vacua {
			c := at(s.Config, v)
			c.Pump = sim.Pump{} // or it would be at its own
			cars = append(cars, keptVacuum{vacuum: v, config: c, car: c})
		}
	}
	if hasPump(s.Config) && len(o.Vacua) == 0 {
		if err := r.atPump(ctx, s); err != nil {
			return nil, err
		}
		cars = r.pumped
	}
	total := len(cars) + 1
	top := si.Force(0)
	for i := range cars {
		o.Watch.Tell(i, total)
		f, err := forceCurve(ctx, cars[i].config)
		if err != nil {
			return nil, err
		}
		if f.HardStop, err = cars[i].hardStop(ctx, s.Reserve); err != nil {
			return nil, err
		}
		f.HardStopPedal = f.HardStop.Pedal
		if len(r.pumped) > 0 {
			f.Vacuum = answer.Of(r.pumped[i].vacuum)
		}
		r.Curves = append(r.Curves, *f)
		top = max(top, f.Points[shownSteps].Pedal)
	}
	o.Watch.Tell(total-1, total)
	manual, err := manualCurve(ctx, s, top)
	if err != nil {
		return nil, err
	}
	r.Manual = *manual
	if r.EasyVacuum, err = easyVacuum(ctx, s.Config, s.Reserve, r.Curves[0].HardStop); err != nil {
		return nil, err
	}
	r.guessed, r.turns = assumed(s), turnings(s, &r.Curves[0])
	o.Watch.Tell(total, total)
	return r, nil
}

// at returns the car with another vacuum at its source, read where the car is.
func at(c sim.Config, v si.Vacuum) sim.Config {
	c.Source.Vacuum = v
	c.Source.MeasuredPressure = c.Ambient.Pressure
	return c
}

// Manual returns the scenario's car with its manual pedal in place of the booster.
func Manual(s *scenario.Scenario) sim.Config {
	c := s.Config
	c.Booster.Kind = sim.BoosterNone
	c.Pump = sim.Pump{}
	c.Reservoir.Volume = 0
	c.Pedal.Ratio = s.Manual.PedalRatio
	c.Master.Bore = s.Manual.Bore
	return c
}

func manualCurve(ctx context.Context, s *scenario.Scenario, top si.Force) (*ManualCurve, error) {
	m := &ManualCurve{PedalRatio: s.Manual.PedalRatio, Bore: s.Manual.Bore}
	t, err := pressSlowly(ctx, Manual(s), top, true)
	if err != nil {
		return nil, err
	}
	m.pressing = branch(t, fineSteps, false)
	m.Points = points(t)
	m.HardStop, err = hardStop(ctx, Manual(s), s.Reserve)
	m.HardStopPedal = m.HardStop.Pedal
	return m, err
}

// forceCurve presses as far as 1.3 times the knee's input or 500 N at the pedal, and
// releases.
func forceCurve(ctx context.Context, c sim.Config) (*ForceCurve, error) {
	return slowCurve(ctx, c, true)
}

// slowCurve is forceCurve, or that as far as it can be read without the release.
func slowCurve(ctx context.Context, c sim.Config, release bool) (*ForceCurve, error) {
	top := leastTop
	if c.Booster.Kind != sim.BoosterNone {
		const travel = 12e-3 // m, a guess that only sets how far the first try presses
		guess := c.Booster.ClosedForm(c.Source.Vacuum, travel)
		perPedal := si.Force(c.Pedal.Ratio * c.Pedal.Efficiency)
		if k := 1.1 * beyondKnee * guess.KneeInput / perPedal; k > top && k < 20*leastTop {
			top = k
		}
	}
	for try := 0; ; try++ {
		t, err := pressSlowly(ctx, c, top, release)
		if err != nil {
			return nil, err
		}
		f := readOff(c, t)
		want := max(leastTop, si.Force(beyondKnee*float64(f.Knee.Pedal.Value())))
		if !f.Knee.Pedal.Exists() || try == 3 || (top >= want && top <= max(leastTop, 1.1*want)) {
			return f, nil
		}
		top = max(leastTop, 1.02*want)
	}
}

func points(t *slowPress) []CurvePoint {
	out := make([]CurvePoint, 0, 2*(shownSteps+1))
	for _, s := range branch(t, shownSteps, false) {
		out = append(out, pointOf(s, false))
	}
	back := branch(t, shownSteps, true)
	for i := range back {
		out = append(out, pointOf(back[len(back)-1-i], true))
	}
	return out
}
