package film

import (
	"context"
	"fmt"
	"math"

	"kneepoint/internal/web"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// A plan is what happens in a film, on the simulation's clock.
type plan struct {
	of       Subject
	filledAt sim.EngineState
	schedule sim.Schedule
	// about and stops are words of the picture.
	about, stops string
	curve        *study.CurveResult
	reserve      *study.ReserveResult
	asked        *scenario.Scenario
}

// The press of the film of a curve, released faster. It is quicker than the study's, so
// that air is seen to flow; below the knee the line then lags by some 2.5 %.
const (
	curveBegins  si.Time = 0.4
	curvePress   si.Time = 20
	curveHold    si.Time = 2
	curveRelease si.Time = 4
	curveEnds    si.Time = 1.2
)

// A series of stops is shown until the first that is beyond many drivers, and one more; the
// engine has come to rest when it begins.
const (
	firstStopAt  si.Time = 1
	stopsBeyond          = 2
	afterTheLast si.Time = 1
	// More stops than these a film has no time for.
	mostStops = 15
)

func newPlan(ctx context.Context, s *scenario.Scenario, of Subject, units si.System) (*plan, error) {
	p := &plan{of: of, filledAt: sim.EngineIdle}
	var err error
	switch of {
	case Reserve:
		err = p.planReserve(ctx, s, units)
	case Curve:
		err = p.planCurve(ctx, s)
	default:
		p.schedule = s.Schedule()
		p.about = "What happens, moment by moment"
		p.curve, err = study.Curve(ctx, s, study.CurveOptions{})
	}
	if _, _, estimated := s.EstimatedVacuum(); estimated {
		p.about += "; the idle vacuum is an estimate"
	}
	return p, err
}

func (p *plan) planCurve(ctx context.Context, s *scenario.Scenario) (err error) {
	if p.curve, err = study.Curve(ctx, s, study.CurveOptions{}); err != nil {
		return err
	}
	top := si.Force(0)
	for _, q := range p.curve.Curves[(len(p.curve.Curves)-1)/2].Points {
		top = max(top, q.Pedal)
	}
	p.about = "A slow press, past the knee, and the release"
	press := sim.Press{At: curveBegins, Pedal: top, Press: curvePress, Hold: curveHold, Release: curveRelease}
	p.schedule = sim.Schedule{Presses: []sim.Press{press}, Until: press.End() + curveEnds}
	return nil
}

// planReserve plays the study's series once more, stop by stop.
func (p *plan) planReserve(ctx context.Context, s *scenario.Scenario, units si.System) (err error) {
	asked := *s
	asked.Spreads = nil // one series, without chances
	asked.Reserve.Stops = min(asked.Reserve.Stops, mostStops)
	p.asked = &asked
	set := asked.Reserve
	if p.reserve, err = study.Reserve(ctx, &asked, nil); err != nil {
		return err
	}
	p.filledAt = set.FilledAt
	engine, during := set.Engine, "with the engine idling"
	switch {
	case engine == sim.EngineOff && s.Config.Source.Kind == sim.SourceBench:
		during = "with the vacuum shut off"
	case engine == sim.EngineOff:
		during = "with the engine off"
	case engine == sim.EngineCruise:
		engine, during = sim.EngineOverrun, "with the engine on the overrun"
	}
	p.about = "Stop after stop " + during
	p.schedule.Events = []sim.Event{{At: 0, Engine: engine}}
	at := firstStopAt
	for _, stop := range p.reserve.Stops[:min(len(p.reserve.Stops), p.reserve.HeavyStops+stopsBeyond)] {
		press := set.Stop(at)
		press.Pedal, press.Deceleration = stop.Pedal, 0
		p.schedule.Presses = append(p.schedule.Presses, press)
		p.schedule.Until = press.End() + min(set.Pause, afterTheLast)
		at = set.Next(at)
	}
	each := si.Format(si.DimForce, float64(set.Pedal), units)
	if set.Deceleration > 0 {
		each = si.Format(si.DimAcceleration, float64(set.Deceleration), units)
	}
	least := ""
	if p.reserve.HeavyCapped() {
		least = "at least "
	}
	p.stops = fmt.Sprintf("Stops of %s: %s%d at most heavy", each, least, p.reserve.HeavyStops)
	return nil
}

// open settles the car for the plan.
func (p *plan) open(ctx context.Context, s *scenario.Scenario) (*web.Show, error) {
	show, err := web.NewShow(ctx, s, p.filledAt, p.schedule)
	if err == nil && p.reserve != nil {
		show.Count(p.reserve)
	}
	return show, err
}

// scene is what the sheet draws the picture from.
func (p *plan) scene(show *web.Show, s *scenario.Scenario, units si.System, pace string) (map[string]any, error) {
	setup, err := web.Setup()
	if err != nil {
		return nil, err
	}
	car, err := show.Car()
	if err != nil {
		return nil, err
	}
	title := s.Title
	if title == "" {
		title = "A typical car, all of it assumed"
		if !s.IsBuiltin() {
			title = s.Name()
		}
	}
	scene := map[string]any{
		"setup": string(setup), "car": string(car), "units": units.String(), "of": string(p.of),
		"title": title, "about": p.about, "pace": pace, "span": math.Ceil(float64(p.schedule.Until)), "stops": p.stops,
	}
	if p.curve != nil {
		text, err := web.CurveReply(p.curve)
		if err != nil {
			return nil, err
		}
		scene["curve"] = string(text)
	}
	if p.reserve != nil {
		text, err := web.ReserveReply(p.reserve, p.asked)
		if err != nil {
			return nil, err
		}
		scene["reserve"] = string(text)
	}
	return scene, nil
}
