package study

import (
	"context"
	"math"

	"kneepoint/internal/batch"
	"kneepoint/internal/sourcenote"
	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A ChooseOption is one combination of parts with what it was found to do.
type ChooseOption struct {
	Booster     string                    `json:"booster"`
	Reservoir   si.Volume                 `json:"reservoir_m3"`
	Pump        bool                      `json:"pump"`
	Bore        si.Length                 `json:"bore_m"`
	ManualRatio answer.Optional[si.Ratio] `json:"manual_pedal_ratio"`
	Passes      bool                      `json:"passes"`
	// Why is what fails, in words and SI units, or the criterion that is nearest
	// to failing.
	Why     string                    `json:"why"`
	Nearest string                    `json:"nearest_criterion"`
	Margin  answer.Optional[si.Ratio] `json:"margin"`

	Performance

	parts    candidate
	findings []finding
	// lock is what locks first in the car, which says why a stop cannot be had.
	lock verdict.FirstLock
	// unfit says why it was not simulated; nil if it was.
	unfit answer.Phrase
}

// A Performance is what the simulations of an option find.
type Performance struct {
	AssistedStops answer.Optional[float64] `json:"assisted_stops"`
	// NeededPedal is that of the first stop with the engine as [reserve] has it,
	// RunningPedal with the engine idling.
	NeededPedal  answer.Optional[si.Force] `json:"needed_pedal_n"`
	RunningPedal answer.Optional[si.Force] `json:"needed_pedal_running_n"`
	// DeadStops counts the stops with the engine dead within the choice's dead limit,
	// DeadCapped says that there may be more.
	DeadStops  answer.Optional[float64] `json:"dead_stops"`
	DeadCapped bool                     `json:"dead_stops_capped"`
	Traffic
	KneeLine    answer.Optional[si.Pressure] `json:"knee_line_pa"`
	Recharge    answer.Optional[si.Time]     `json:"recharge_s"`
	PedalTravel answer.Optional[si.Length]   `json:"pedal_travel_m"`
	// Missing is why the ordinary stop cannot be had, if it cannot.
	Missing shortfall `json:"-"`
	// DeadForce is what the hardest of the stops needs that are wanted with the engine dead.
	DeadForce answer.Optional[si.Force] `json:"-"`
}

// EqualManual is the manual pedal that asks for the same effort as the present parts.
type EqualManual struct {
	PedalRatio  answer.Optional[si.Ratio]  `json:"pedal_ratio"`
	Bore        answer.Optional[si.Length] `json:"bore_m"`
	PedalTravel answer.Optional[si.Length] `json:"pedal_travel_m"`
	// KeptRatio is the pedal that is there, KeptPedal the force that it would need on
	// the same bore without a booster.
	KeptRatio answer.Optional[si.Ratio] `json:"kept_pedal_ratio"`
	KeptPedal answer.Optional[si.Force] `json:"kept_pedal_n"`
}

// ChooseResult is the answer to which parts to use.
type ChooseResult struct {
	// Recommended is the simplest option that passes.
	Recommended    *ChooseOption                  `json:"recommended"`
	Options        []ChooseOption                 `json:"options"`
	LeastVacuum    answer.Optional[si.Vacuum]     `json:"least_vacuum_pa"`
	LeastReservoir answer.Optional[si.Volume]     `json:"least_reservoir_m3"`
	LeastPump      answer.Optional[si.VolumeFlow] `json:"least_pump_m3ps"`
	EqualManual    EqualManual                    `json:"equal_manual"`
	// Unfinished is how many combinations were left when the study was stopped.
	Unfinished int `json:"unfinished"`
	// Sure is there where inputs have a tolerance: for the first option and the next.
	Sure *Surety `json:"sure,omitempty"`

	criteria scenario.Choose
	title    string
	present  *ChooseOption
	note     sourcenote.Note
	// unmeasured says that nobody measured the idle vacuum; nil where somebody did.
	unmeasured answer.Phrase
	// lock is what locks first, which none of the options changes, in car.
	lock verdict.FirstLock
	car  sim.Car
	// lost says what is lost in the car as it is; the options are for it once it is mended.
	lost string
	// pumpOn is where the pump that is there, or would be fitted, starts.
	pumpOn si.Vacuum
}

// Choose simulates every combination of parts that the scenario asks about. When
// it is stopped, what was finished comes with the error.
//
// Nobody buys parts to live with a lost circuit: the choice is for the car with both whole.
func Choose(ctx context.Context, s *scenario.Scenario, w Watch) (*ChooseResult, error) {
	lost := lostOf(&s.Config)
	s, err := mended(s)
	if err != nil {
		return nil, err
	}
	all := candidates(s)
	// The searches are the longest, so that they begin first.
	found, done, err := batch.Gather(ctx, countSearches+len(all), w, func(ctx context.Context, i int) (piece, error) {
		if i < countSearches {
			return searchFor(ctx, s, i)
		}
		p, err := all[i-countSearches].performance(ctx, s, (*ChooseOption).simulate)
		return piece{Performance: p}, err
	})
	r := &ChooseResult{
		criteria: s.Choose, title: s.Title, lost: lost, car: s.Config.Car, unmeasured: unmeasured(s), note: noteOnChoice(s), lock: verdict.RoadOf(&s.Config).FirstLock(), pumpOn: pumpToFit(s).On,
	}
	for i, c := range all {
		if done[countSearches+i] {
			r.Options = append(r.Options, *c.judged(s, found[countSearches+i].Performance))
		} else {
			r.Unfinished++
		}
	}
	inOrder(r.Options)
	if len(r.Options) > 0 && r.Options[0].Passes {
		r.Recommended = &r.Options[0]
	}
	if err != nil {
		return r, err
	}
	r.takeSearches(s, found)
	return r, r.sureOfOptions(ctx, s, w)
}

// noteOnChoice looks at the source as the options have it: a car without a booster may
// be given one.
func noteOnChoice(s *scenario.Scenario) sourcenote.Note {
	if s.Config.Booster.Kind != sim.BoosterNone {
		return sourcenote.On(s)
	}
	boosted := *s
	boosted.Config.Booster.Kind = sim.BoosterVacuum
	return sourcenote.On(&boosted)
}

func passing(o ChooseOption) int {
	if o.Passes {
		return 1
	}
	return 0
}

// least is the margin of the nearest criterion, for sorting.
func (o *ChooseOption) least() float64 {
	if !o.Margin.Exists() {
		return math.Inf(-1)
	}
	return float64(o.Margin.Value())
}

// considerStops puts a candidate into the car and judges it by its stops; the knee, by
// which nothing is judged, is left out.
func considerStops(ctx context.Context, s *scenario.Scenario, c candidate) (*ChooseOption, error) {
	p, err := c.performance(ctx, s, (*ChooseOption).simulateStops)
	if err != nil {
		return nil, err
	}
	return c.judged(s, p), nil
}

// performance simulates the car with a candidate in it, where it fits and can be built.
func (c candidate) performance(ctx context.Context, s *scenario.Scenario, simulate func(*ChooseOption, context.Context, *scenario.Scenario) error) (Performance, error) {
	o := newOption(c)
	if c.fits(s.Choose, si.SI) != "" {
		return o.Performance, nil
	}
	car, err := c.in(s)
	if err != nil {
		return o.Performance, nil
	}
	err = simulate(o, ctx, car)
	return o.Performance, err
}

// judged is the option that a candidate makes, by its performance.
func (c candidate) judged(s *scenario.Scenario, p Performance) *ChooseOption {
	o := newOption(c)
	if c.fits(s.Choose, si.SI) != "" {
		o.refuse(func(u si.System) string { return c.fits(s.Choose, u) })
		return o
	}
	if !p.AssistedStops.Exists() { // what made its stops could be built
		if _, err := c.in(s); err != nil {
			o.refuse(func(si.System) string { return "cannot be built: " + err.Error() })
			return o
		}
	}
	// No candidate has other brakes.
	o.Performance, o.lock = p, verdict.RoadOf(&s.Config).FirstLock()
	o.judge(s.Choose)
	return o
}

// refuse says why an option is not worth simulating.
func (o *ChooseOption) refuse(why answer.Phrase) {
	o.unfit, o.Why = why, why(si.SI)
}

func newOption(c candidate) *ChooseOption {
	o := &ChooseOption{
		Booster: c.booster.String(), Reservoir: c.reservoir, Pump: c.pump, Bore: c.bore,
		parts: c,
	}
	if c.manualRatio > 0 {
		o.ManualRatio = answer.Of(c.manualRatio)
	}
	return o
}

// simulate fills in what the car does: the stops are those of Reserve with the
// demand of the choice, the knee is that of Curve.
func (o *ChooseOption) simulate(ctx context.Context, car *scenario.Scenario) error {
	parked, err := o.makeStops(ctx, car)
	if err != nil || car.Config.Booster.Kind == sim.BoosterNone {
		return err
	}
	knee, err := parked.leastKnee(ctx)
	o.KneeLine = knee.Line
	return err
}

// simulateStops fills in all that the criteria ask for.
func (o *ChooseOption) simulateStops(ctx context.Context, car *scenario.Scenario) error {
	_, err := o.makeStops(ctx, car)
	return err
}

// makeStops is simulateStops; it returns the car that made them.
func (o *ChooseOption) makeStops(ctx context.Context, car *scenario.Scenario) (*parkedCar, error) {
	parked, err := park(ctx, car.Config)
	if err != nil {
		return nil, err
	}
	if err := o.runStop(ctx, car, parked); err != nil {
		return nil, err
	}
	return parked, o.makeSeries(ctx, car, parked, nil)
}

// makeSeries makes the stops one after another, and times how the vacuum comes back. That
// is left out where the stops with the engine dead are not worth it, if that is asked.
func (o *ChooseOption) makeSeries(ctx context.Context, car *scenario.Scenario, parked *parkedCar, worth func(*ReserveResult) bool) error {
	// What ends early jumps with the inputs: no more stops than are wanted are all made.
	counting := car.Reserve.Stops > car.Choose.StopsLeft
	asked, err := demanding(ctx, car, parked, car.Reserve.Engine, car.Reserve.Stops, stopping{counting: counting, recharge: true, traffic: true, upTo: car.Choose.DeadLimit, worth: worth})
	if err != nil {
		return err
	}
	o.AssistedStops = answer.Of(float64(asked.AssistedStops))
	o.NeededPedal = asked.Stops[0].Needed
	o.Recharge = asked.RechargeIdle
	o.Traffic = asked.traffic
	dead := asked
	if car.Reserve.Engine != sim.EngineOff {
		dead, err = demanding(ctx, car, parked, sim.EngineOff, car.Reserve.Stops, stopping{counting: counting, upTo: car.Choose.DeadLimit})
		if err != nil {
			return err
		}
	}
	if car.Config.Booster.Kind != sim.BoosterNone {
		n := dead.within(car.Choose.DeadLimit)
		o.DeadStops, o.DeadCapped = answer.Of(float64(n)), n == len(dead.Stops)
		o.DeadForce = (&ReserveResult{Stops: dead.Stops[:min(len(dead.Stops), max(1, car.Choose.StopsLeft))]}).hardest()
	}
	return nil
}

// runStop makes the stop with the engine idling.
func (o *ChooseOption) runStop(ctx context.Context, car *scenario.Scenario, parked *parkedCar) error {
	running, err := demanding(ctx, car, parked, sim.EngineIdle, 1, stopping{helpedLeast: true})
	if err != nil {
		return err
	}
	first := running.Stops[0]
	o.RunningPedal, o.PedalTravel, o.Missing = first.Needed, first.TravelAtNeeded, first.missing
	return nil
}

// demanding makes the scenario's stops with the demand of its choice; parked is its car,
// nil if nobody has it yet.
func demanding(ctx context.Context, car *scenario.Scenario, parked *parkedCar, engine sim.EngineState, stops int, want stopping) (*ReserveResult, error) {
	r := &ReserveResult{settings: car.Reserve, config: car.Config, car: parked}
	r.settings.Engine = engine
	r.settings.Stops = stops
	r.settings.Deceleration = car.Choose.Deceleration
	if line := car.Choose.LinePressure; line > 0 {
		r.settings.Deceleration = 0
		r.settings.Pedal = car.Choose.PedalLimit
		want.line = line
		return r, r.simulate(ctx, want, nil)
	}
	r.settings.Pedal = r.settings.ForceLimit
	return r, r.simulate(ctx, want, nil)
}
