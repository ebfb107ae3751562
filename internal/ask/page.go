package ask

import (
	"context"
	"fmt"
	"slices"

	"kneepoint/internal/batch"
	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// A Situation is one in which the car has to stop.
type Situation struct {
	When string `json:"when"`
	// Deceleration is what the stop asks for, and Pedal what the foot needs for it; it does
	// not exist where the stop cannot be had.
	Deceleration answer.Optional[si.Acceleration] `json:"deceleration_mps2"`
	Pedal        answer.Optional[si.Force]        `json:"pedal_n"`
	// Verdict is what that means, in words. In traffic it is that of the hardest stop.
	Verdict string `json:"verdict"`
	// Sure is the share of the cars drawn that do no worse; it does not exist where all
	// is known, and where nothing was drawn.
	Sure answer.Optional[si.Ratio] `json:"sure"`
	// Easy and Heavy count the stops with the engine dead; they do not exist elsewhere.
	Easy  answer.Optional[float64] `json:"easy_stops"`
	Heavy answer.Optional[float64] `json:"heavy_stops"`

	said func(u si.System) string
}

// A Purchase is something worth considering.
type Purchase struct {
	Kind   string              `json:"kind"`
	Option *study.ChooseOption `json:"option"`
	// Panic is what the foot needs with it in a hard stop; Easy and Heavy count the stops
	// with the engine dead. They are those of Curve and Reserve for the car with it.
	Panic answer.Optional[si.Force] `json:"panic_pedal_n"`
	Easy  int                       `json:"easy_stops"`
	Heavy int                       `json:"heavy_stops"`
	parts func(u si.System) string
}

// Parts names in a few words what is fitted: "7/8 in bore, 2 L tank".
func (b *Purchase) Parts(u si.System) string { return b.parts(u) }

// A Page is the answer to what people know of their car.
type Page struct {
	Situations []Situation
	// Purchases are the recommended one first; none where what is there is enough and
	// nothing else was found.
	Purchases []Purchase
	// Turnings rank the unknown figures.
	Turnings []Turning
	// Sure says how sure the verdicts are; nil where all is known.
	Sure *Surety

	base stand
	// slows is what the stops with the engine running slow by, and counted what those of
	// purchases do, the car as it is being today's.
	slows, counted answer.Optional[si.Acceleration]
	today          *study.Standing
	car            *Car
	list           *study.Shortlist
	axle           verdict.Axle
	asked          int
	blank          int
}

// mostPurchases and mostTurnings are how many a page has room for.
const (
	mostPurchases = 3
	mostTurnings  = 3
)

// Page asks the studies about the car: Curve and Reserve for whether it stops, the
// shortlist of Choose for what to buy.
func (c *Car) Page(ctx context.Context, w batch.Progress) (*Page, error) {
	p := &Page{car: c, asked: len(questions)}
	for i := range questions {
		q := &questions[i]
		if !c.answers.given[q.Name].known && c.answers.Said(q) == "" {
			p.blank++
		}
	}
	middle := *c.Scenario
	middle.Spreads = nil // the ranges are the page's own matter
	if err := p.stops(ctx, &middle); err != nil {
		return nil, err
	}
	var err error
	if p.list, err = study.Shortlisted(ctx, &middle, w); err != nil {
		return nil, err
	}
	if err = p.purchases(ctx, &middle); err != nil {
		return nil, err
	}
	if p.Turnings, err = c.turnings(ctx, p.base, w); err != nil {
		return nil, err
	}
	if p.Sure, err = c.sure(ctx, p.base, w); err != nil || p.Sure == nil {
		return p, err
	}
	p.Situations[ordinary].Sure, p.Situations[inPanic].Sure, p.Situations[engineOff].Sure = answer.Of(si.Ratio(p.Sure.Everyday)), answer.Of(si.Ratio(p.Sure.Panic)), answer.Of(si.Ratio(p.Sure.Dead))
	return p, nil
}

// Traffic is the reserve of one stop after another in town with the engine idling, as its
// settings have it.
func Traffic(s *scenario.Scenario) []scenario.Setting {
	once := s.Reserve.Press + s.Reserve.Hold + s.Reserve.Release
	return []scenario.Setting{
		{Path: scenario.KeyReserveEngine, Value: string(sim.EngineIdle)},
		scenario.SettingOf(scenario.KeyReservePause, max(0, verdict.TrafficEvery-once)),
		scenario.SettingIn(scenario.KeyReserveStops, si.DimNone, verdict.TrafficStops),
	}
}

// Dead is the reserve with the engine dead.
func Dead() []scenario.Setting {
	return []scenario.Setting{{Path: scenario.KeyReserveEngine, Value: string(sim.EngineOff)}}
}

// Up takes the car to a height, with the vacuum as it was read at home.
func Up(home, height si.Length) []scenario.Setting {
	return []scenario.Setting{scenario.SettingOf(scenario.KeyAmbientAltitude, height), scenario.SettingOf(scenario.KeySourceMeasuredAt, home)}
}

// stops asks in all situations.
func (p *Page) stops(ctx context.Context, s *scenario.Scenario) error {
	edited := func(set ...scenario.Setting) (*scenario.Scenario, error) {
		car, err := s.Edit(set)
		if err != nil {
			// At this height nothing is left of the engine's vacuum.
			car, err = s.Edit(append(set, scenario.Setting{Path: scenario.KeySourceKind, Value: string(sim.SourceBench)}, scenario.SettingOf(scenario.KeySourceVacuum, si.Vacuum(0))))
		}
		if err != nil {
			return nil, err
		}
		car.Spreads = nil
		return car, nil
	}
	type question struct {
		set     []scenario.Setting
		curve   *study.CurveResult
		reserve *study.ReserveResult
	}
	const (
		here = iota
		traffic
		above
		aboveStops
	)
	q := make([]question, aboveStops+1)
	q[here].set, q[traffic].set = Dead(), Traffic(s)
	climbs := !p.car.NoPass && p.car.Pass > p.car.home+1 && s.Config.Source.Kind == sim.SourceEngine && s.Config.Booster.Kind != sim.BoosterNone
	if climbs {
		q[above].set = Up(p.car.home, p.car.Pass)
		q[aboveStops].set = append(Up(p.car.home, p.car.Pass), Dead()...)
	}
	_, err := batch.ForEach(ctx, len(q), nil, func(ctx context.Context, i int) (err error) {
		if q[i].set == nil {
			return nil
		}
		car, err := edited(q[i].set...)
		if err != nil {
			return err
		}
		if i == here || i == above {
			if q[i].curve, err = study.Curve(ctx, car, study.CurveOptions{}); err != nil {
				return err
			}
		}
		if i != above {
			q[i].reserve, err = study.Reserve(ctx, car, nil)
		}
		return err
	})
	if err != nil {
		return err
	}
	town := q[traffic].reserve
	p.slows = town.DemandDeceleration
	if !p.slows.Exists() {
		p.slows = answer.Of(town.Stops[0].Deceleration) // the demand is what that stop reached
	}
	p.axle = q[here].curve.Curves[0].HardStop.Axle
	p.Situations = []Situation{
		ordinary:  everyDay(town),
		inPanic:   panicStop("in a panic", q[here].curve),
		inTraffic: everyStop("in traffic", town, hardest(town)),
		engineOff: deadStops("engine dead", q[here].reserve, s),
	}
	if climbs {
		height := p.car.Pass
		pass := panicStop(upThere, q[above].curve)
		pass.said = func(u si.System) string {
			return upThere + ", " + si.Format(si.DimLength, float64(height), u)
		}
		p.Situations = append(p.Situations, pass, deadStops("engine dead up there", q[aboveStops].reserve, s))
	}
	return nil
}

const upThere = "on the pass"

// The situations by their place on a page.
const (
	ordinary = iota
	inPanic
	inTraffic
	engineOff
	atHome // how many come before the pass
)

// hardest is the stop of a series that needs most, the first that cannot be had before all.
func hardest(r *study.ReserveResult) int {
	most := 0
	for i, s := range r.Stops {
		if !s.Needed.Exists() {
			return i
		}
		if s.Needed.Value() > r.Stops[most].Needed.Value() {
			most = i
		}
	}
	return most
}

func everyStop(when string, r *study.ReserveResult, i int) Situation {
	s := Situation{When: when, Deceleration: r.DemandDeceleration, Pedal: r.Stops[i].Needed, Verdict: outOfReach}
	if s.Pedal.Exists() {
		s.Verdict = verdict.Effort(s.Pedal.Value())
	} else if why := r.Shortfall(i, si.US); why != "" {
		s.Verdict = outOfReach + ": " + why
	}
	return s
}

// everyDay is the first stop, with a pump that where the driver is helped least.
func everyDay(r *study.ReserveResult) Situation {
	s := everyStop("every day", r, 0)
	switch {
	case r.Pump == nil:
	case r.Pump.Needed.Exists():
		s.Pedal, s.Verdict = r.Pump.Needed, verdict.Effort(r.Pump.Needed.Value())
	case s.Pedal.Exists():
		s.Pedal, s.Verdict = r.Pump.Needed, outOfReach
	}
	return s
}

// panicStop is the hard stop at the least vacuum that the car has.
func panicStop(when string, r *study.CurveResult) Situation {
	worst := r.Curves[0].HardStop
	for _, c := range r.Curves[1:] {
		if !c.HardStop.Pedal.Exists() || c.HardStop.Pedal.Value() > worst.Pedal.Value() {
			worst = c.HardStop
		}
	}
	s := Situation{When: when, Deceleration: worst.Deceleration, Pedal: worst.Pedal, Verdict: worst.Called()}
	if !s.Pedal.Exists() {
		s.Verdict = worst.Said(si.US)
	}
	return s
}

func deadStops(when string, r *study.ReserveResult, s *scenario.Scenario) Situation {
	out := Situation{When: when, Deceleration: r.DemandDeceleration, Pedal: r.Stops[0].Needed, Easy: answer.Of(float64(r.EasyStops)), Heavy: answer.Of(float64(r.HeavyStops)), Verdict: r.Counted()}
	v := r.VolumeRange
	switch {
	case s.Config.Booster.Kind == sim.BoosterNone:
		return everyStop(when+", as ever", r, 0)
	case !out.Pedal.Exists():
		out.Verdict = outOfReach + ": " + r.Shortfall(0, si.US)
	case v != nil:
		made := len(r.Stops)
		out.Verdict = verdict.Between(
			verdict.Count{Easy: v.LowEasy, Heavy: v.LowHeavy, Made: made}, verdict.Count{Easy: v.HighEasy, Heavy: v.HighHeavy, Made: made})
	}
	return out
}

// purchases are the recommended option, if it is one to buy, then the best of each kind:
// those that pass before those that do not, each in the order of a choice. What makes
// neither the hard stop lighter nor the stops with the engine dead more is none, unless
// it is what was wished for.
func (p *Page) purchases(ctx context.Context, s *scenario.Scenario) error {
	var all []Purchase
	add := func(kind study.PartKind, o *study.ChooseOption) {
		all = append(all, Purchase{Kind: string(kind), Option: o, parts: func(u si.System) string { return p.list.Parts(o, u) }})
	}
	best := p.list.Recommended
	if best != nil && p.list.Buys(best) {
		add(recommended, best)
	}
	for _, passes := range []bool{true, false} {
		for _, r := range p.list.Rivals {
			if r.Option.Passes == passes {
				add(r.Kind, r.Option)
			}
		}
	}
	present, err := study.Stand(ctx, s, 0)
	if err != nil {
		return err
	}
	p.base = standOf(present, s)
	p.counted = p.slows
	if lock := present.Panic.Deceleration; lock.Exists() && lock.Value() < p.counted.Value() {
		p.counted = lock // no stop is harder
	}
	// The same stop as today, and not what the same foot does to other parts.
	likeToday := func(car *scenario.Scenario) (*scenario.Scenario, error) {
		return car.Edit([]scenario.Setting{scenario.SettingOf(scenario.KeyReserveDeceleration, p.counted.Value())}, scenario.KeyReservePedal)
	}
	p.today = present
	if s.Reserve.Deceleration == 0 {
		same, err := likeToday(s)
		if err == nil {
			p.today, err = study.Stand(ctx, same, 0)
		}
		if err != nil {
			return err
		}
	}
	found, err := study.Standings(ctx, len(all), 0, nil, func(i int) (*scenario.Scenario, error) {
		car, err := all[i].Option.In(s)
		if err != nil || s.Reserve.Deceleration > 0 {
			return car, err
		}
		return likeToday(car)
	})
	if err != nil {
		return err
	}
	for i, stand := range found {
		b := all[i]
		if stand == nil {
			if _, err := b.Option.In(s); err != nil {
				continue // it cannot be built, which its reason says
			}
			return fmt.Errorf("%s could not be simulated", b.parts(si.US))
		}
		b.Panic, b.Easy, b.Heavy = stand.Panic.Pedal, stand.Dead.Easy, stand.Dead.Heavy
		better := b.Kind == recommended || b.helps(p.today) || wantsManual(s) && b.Option.ManualRatio.Exists()
		if better && len(p.Purchases) < mostPurchases {
			p.Purchases = append(p.Purchases, b)
		}
	}
	return nil
}

// helps says that the hard stop is lighter or the stops with the engine dead more, and
// that neither is paid for with the other.
func (b *Purchase) helps(present *study.Standing) bool {
	const worthwhile = 5 // N
	lighter := b.Panic.Exists() && !(b.Panic.Value() > present.Panic.Pedal.Value()-worthwhile)
	more := b.Easy > present.Dead.Easy || b.Heavy > present.Dead.Heavy
	return class(b.Panic) <= class(present.Panic.Pedal) && b.Heavy >= present.Dead.Heavy && (lighter || more)
}

// wantsManual says that a pedal without booster is what was asked about.
func wantsManual(s *scenario.Scenario) bool {
	return !slices.ContainsFunc(s.Choose.Boosters, func(b scenario.BoosterSize) bool { return !b.None() })
}

const recommended = "recommended"
