package main

import (
	"context"
	"math"

	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A drive is what a driver feels on the way to the workshop.
type drive struct {
	slows  float64 // m/s² of a firm stop, engine idling
	travel float64 // m of the pedal in it
	light  float64 // m of the pedal when it begins to bite
	sinks  float64 // m in a long hold
	hisses float64 // kg/s of air drawn in, the worse of foot on and off
	stops  float64 // that are helped once the engine is off
}

// firmFoot is a driver's firm stop, biteFoot where the brakes begin.
const (
	firmFoot si.Force = 150
	biteFoot si.Force = 60
)

// driveOff drives a car.
func driveOff(ctx context.Context, c sim.Config, s scenario.Reserve) (drive, error) {
	d := drive{}
	m, err := sim.New(c)
	if err != nil {
		return d, err
	}
	run := m.Start()
	run.Engine(sim.EngineIdle)
	if err := run.Advance(ctx, 60); err != nil {
		return d, err
	}
	air := func() float64 { return math.Max(float64(run.State().HoseFlow), float64(run.State().PumpFlow)) }
	if c.Booster.Kind != sim.BoosterNone {
		d.hisses = air()
	}
	for _, step := range []struct {
		foot  si.Force
		holds si.Time
	}{{biteFoot, 3}, {firmFoot, 4}} {
		run.Pedal(step.foot, 0.5)
		if err := run.Advance(ctx, step.holds); err != nil {
			return d, err
		}
		if step.foot == biteFoot {
			d.light = float64(run.State().PedalTravel)
		}
	}
	at := run.State()
	d.slows, d.travel = float64(at.Deceleration), float64(at.PedalTravel)
	if c.Booster.Kind != sim.BoosterNone {
		d.hisses = math.Max(d.hisses, air())
	}
	if err := run.Advance(ctx, 15); err != nil {
		return d, err
	}
	d.sinks = float64(run.State().PedalTravel) - d.travel
	d.stops, err = workshop.NewRig(c, s, workshop.Gauges{}).Outcome(ctx, scenario.Reading{Test: scenario.StopsLeft})
	return d, err
}

// complains says what a driver complains of: what has changed most against the car that he
// knows. One who notices nothing says nothing, and so has the car looked over; of those who
// do one in ten says something that it is not. The limits are guesses.
func (c *car) complains(now, before drive) scenario.Complaint {
	const notices = 1.0
	worst, says := notices, scenario.Complaint("")
	felt := func(complaint scenario.Complaint, over float64) {
		// Drivers differ in what bothers them.
		if over *= between(c.rng, 0.75, 1.33); over > worst {
			worst, says = over, complaint
		}
	}
	felt(scenario.ComplaintHard, (1-now.slows/before.slows)/0.25)
	if before.stops >= 1 {
		felt(scenario.ComplaintHard, (1-now.stops/before.stops)/0.6)
	}
	felt(scenario.ComplaintLow, (now.light-before.light)/15e-3)
	felt(scenario.ComplaintSpongy, (now.travel-now.light-(before.travel-before.light))/12e-3)
	felt(scenario.ComplaintSinks, (now.sinks-before.sinks)/15e-3)
	felt(scenario.ComplaintHisses, now.hisses/0.8e-3)
	if c.drags() {
		felt(scenario.ComplaintDrags, 2)
	}
	for _, f := range c.faults {
		switch f.Name {
		case sim.FaultCaliperSeized, sim.FaultHoseBlocked, sim.FaultLineBlocked: // one wheel of two
			felt(scenario.ComplaintPulls, severityOf(f)/0.35)
		}
	}
	if says != "" && c.rng.Float64() < 0.1 {
		all := scenario.Complaints()
		says = all[c.rng.IntN(len(all))]
	}
	return says
}
