package study

import (
	"context"
	"math"
	"slices"

	"kneepoint/internal/rootfind"
	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A BalanceCase is the car with one proportioning valve, or without.
type BalanceCase struct {
	Name string `json:"name"`
	// SplitPressure does not exist without a valve; SplitSlope is 1 then.
	SplitPressure answer.Optional[si.Pressure] `json:"split_pressure_pa"`
	SplitSlope    si.Ratio                     `json:"split_slope"`
	FirstLock     verdict.FirstLock            `json:"first_lock"`
	// Crossing is the deceleration from which on the rear axle uses more adhesion
	// than the front one, if there is one below that of the first lock.
	Crossing answer.Optional[si.Acceleration] `json:"rear_first_from_mps2"`
	// Efficiency is the deceleration at the first lock over what the adhesion allows.
	Efficiency answer.Optional[si.Ratio] `json:"efficiency"`
	Points     []verdict.Braking         `json:"points"`

	car sim.Car
	// missing says why no pedal reaches the first lock.
	missing shortfall
}

// Valve is the proportioning valve that the car needs.
type Valve struct {
	// Needed says that without a valve the rear axle would lock first somewhere
	// below the adhesion; Possible that a valve of this slope prevents it.
	Needed        bool                         `json:"needed"`
	Possible      bool                         `json:"possible"`
	SplitPressure answer.Optional[si.Pressure] `json:"split_pressure_pa"`
	SplitSlope    si.Ratio                     `json:"split_slope"`
}

// BalanceResult is the answer to which axle locks first, and what to do about it.
type BalanceResult struct {
	Adhesion si.Ratio `json:"adhesion"`
	// Cases are the scenario's car first, then the others beside it.
	Cases []BalanceCase `json:"cases"`
	Valve Valve         `json:"valve"`
	// Rule is where the front axle's curve lies below the rear's within the
	// range that the rule looks at.
	Rule BalanceRule `json:"rule"`
	// MoreFriction is the first lock with linings in the drums that grip a tenth
	// more; it does not exist without drums.
	MoreFriction *verdict.FirstLock `json:"with_a_tenth_more_drum_friction"`
	// Linings is what is found at both ends of what the drums' linings may be, where
	// the scenario leaves that open.
	Linings *LiningRange `json:"linings"`

	// valveAssumed says that the scenario names no proportioning valve.
	valveAssumed bool
	config       sim.Config
	title        string
}

// BalanceRule holds the scenario's car against the rule that from a braking rate
// of 0.15 to 0.8 the front axle's adhesion curve lies above the rear's: directive
// 71/320/EEC, annex II, appendix, 3.1.1 for cars (published text, which also
// allows an exchange from 0.3 to 0.45 within 0.05 of the ideal line, left out
// here); UN R13-H, annex 5, has the same (from memory).
type BalanceRule struct {
	Holds bool `json:"front_above_rear_from_0_15_to_0_8"`
	// BrokenFrom is the lowest deceleration at which it does not hold.
	BrokenFrom answer.Optional[si.Acceleration] `json:"broken_from_mps2"`
}

const (
	ruleFrom, ruleTo = 0.15, 0.8

	usualSlope    si.Ratio = 0.3 // of a valve where the scenario has none (estimate)
	balancePoints          = 240
	balanceTop             = 1.05 // g that the curves are drawn up to
	lineWithin             = 1.0  // Pa
	splitWithin            = 1e3  // Pa
	moreFriction  si.Ratio = 1.1  // of the drums' linings, to see what it does
	equalWithin            = 1e-9 // of adhesion used
)

// Balance finds how the brakes share the work between the axles, which axle locks
// first, and the proportioning valve that the car needs.
func Balance(ctx context.Context, s *scenario.Scenario, w Watch) (*BalanceResult, error) {
	w.Tell(0, 2)
	parked, err := park(ctx, whole(s.Config))
	if err != nil {
		return nil, err
	}
	driver, err := newDriver(ctx, parked, s.Reserve)
	if err != nil {
		return nil, err
	}
	w.Tell(1, 2)
	car := s.Config.Car
	r := &BalanceResult{Adhesion: car.Adhesion, config: s.Config, title: s.Title}
	r.valveAssumed = hasValve(&car) && !s.IsSet(scenario.KeyValvesSplitSlope) && !s.IsSet(scenario.KeyValvesSplitPressure)
	r.Valve = neededValve(car)

	here := "without a valve"
	if hasValve(&car) {
		here = "with this valve"
	}
	cars := []struct {
		name string
		car  sim.Car
	}{{here, car}}
	if hasValve(&car) {
		cars = append(cars, struct {
			name string
			car  sim.Car
		}{"without a valve", withoutValve(car)})
	}
	if r.Valve.SplitPressure.Exists() {
		cars = append(cars, struct {
			name string
			car  sim.Car
		}{"with the valve it needs", withValve(car, r.Valve.SplitPressure.Value(), r.Valve.SplitSlope)})
	}
	for _, c := range cars {
		found := balanceCase(c.name, c.car)
		hard, err := driver.lock(ctx, verdict.Road{Car: &c.car})
		if err != nil {
			return nil, err
		}
		found.FirstLock, found.missing = hard.FirstLock, hard.missing
		r.Cases = append(r.Cases, found)
	}
	r.Rule = ruleOf(&car)
	if r.Linings, err = liningRange(ctx, s, driver); err != nil {
		return nil, err
	}
	if car.FrontBrake.Kind.IsDrum() || car.RearBrake.Kind.IsDrum() {
		grippier := car
		for _, b := range []*sim.Brake{&grippier.FrontBrake, &grippier.RearBrake} {
			if b.Kind.IsDrum() {
				*b = b.WithFriction(moreFriction)
			}
		}
		lock, err := driver.firstLock(ctx, &grippier)
		if err != nil {
			return nil, err
		}
		r.MoreFriction = &lock
	}
	w.Tell(2, 2)
	return r, nil
}

func hasValve(c *sim.Car) bool { return c.SplitSlope < 1 }

func withoutValve(c sim.Car) sim.Car {
	c.SplitSlope = 1
	return c
}

func withValve(c sim.Car, split si.Pressure, slope si.Ratio) sim.Car {
	c.SplitPressure, c.SplitSlope = split, slope
	return c
}

// firstLock is that of the car with both circuits whole, under the foot's pedal.
func (d *driver) firstLock(ctx context.Context, car *sim.Car) (verdict.FirstLock, error) {
	h, err := d.lock(ctx, verdict.Road{Car: car})
	return h.FirstLock, err
}

func balanceCase(name string, car sim.Car) BalanceCase {
	road := verdict.Road{Car: &car}
	b := BalanceCase{
		Name: name, SplitSlope: car.SplitSlope,
		FirstLock: road.FirstLock(), car: car,
	}
	if hasValve(&car) {
		b.SplitPressure = answer.Of(car.SplitPressure)
	}
	if a := b.FirstLock.Deceleration; a.Exists() {
		b.Efficiency = answer.Of(si.Ratio(float64(a.Value()) / (float64(car.Adhesion) * float64(si.StandardGravity))))
	}
	b.Crossing = rearFirstFrom(&car, ruleFrom, math.Inf(1), verdict.Locked(car.Adhesion))
	top := answer.Of(verdict.MostLine)
	if line := road.LineFor(func(p verdict.Braking) bool { return p.Rate() >= balanceTop }); line.Exists() {
		top = line
	}
	for i := range balancePoints + 1 {
		p := road.At(top.Value() * si.Pressure(i) / balancePoints)
		if p.RearLoad <= 0 {
			break
		}
		b.Points = append(b.Points, p)
	}
	return b
}

// rearFirstFrom returns the lowest deceleration from which on the rear axle uses
// more adhesion than the front one, between two braking rates and before the end.
func rearFirstFrom(c *sim.Car, from, to float64, end func(verdict.Braking) bool) answer.Optional[si.Acceleration] {
	road := verdict.Road{Car: c}
	low := road.LineFor(func(p verdict.Braking) bool { return p.Rate() >= from })
	high := road.LineFor(func(p verdict.Braking) bool { return p.Rate() >= to || end(p) })
	if !low.Exists() {
		return answer.None[si.Acceleration]()
	}
	if !high.Exists() {
		high = answer.Of(verdict.MostLine)
	}
	rearMore := func(line float64) bool {
		p := road.At(si.Pressure(line))
		return p.RearAdhesion-p.FrontAdhesion > equalWithin
	}
	last := float64(low.Value())
	for i, line := range linesToTry(float64(low.Value()), float64(high.Value()), float64(c.SplitPressure)) {
		if !rearMore(line) {
			last = line
			continue
		}
		if i > 0 {
			line, _ = rootfind.Least(last, line, lineWithin, func(l float64) (bool, error) { return rearMore(l), nil })
		}
		return answer.Of(road.At(si.Pressure(line)).Deceleration)
	}
	return answer.None[si.Acceleration]()
}

// linesToTry are pressures from low to high, closer around the split, where the
// curves come nearest to each other.
func linesToTry(low, high, split float64) []float64 {
	const around, close = 50e3, 2e3
	var lines []float64
	for i := range balancePoints + 1 {
		lines = append(lines, min(low+(high-low)*float64(i)/balancePoints, high))
	}
	for line := max(low, split-around); line <= min(high, split+around); line += close {
		lines = append(lines, line)
	}
	slices.Sort(lines)
	return lines
}

func ruleOf(c *sim.Car) BalanceRule {
	never := func(verdict.Braking) bool { return false }
	from := rearFirstFrom(c, ruleFrom, ruleTo, never)
	return BalanceRule{Holds: !from.Exists(), BrokenFrom: from}
}

// neededValve finds the highest split pressure, at the scenario's slope, with
// which the front axle uses no less adhesion than the rear one from a braking
// rate of 0.15 up to the first lock.
func neededValve(car sim.Car) Valve {
	v := Valve{SplitSlope: car.SplitSlope}
	if !hasValve(&car) {
		v.SplitSlope = usualSlope
	}
	rearFirst := func(c sim.Car) bool {
		from := min(ruleFrom, float64(c.Adhesion)/2)
		return rearFirstFrom(&c, from, math.Inf(1), verdict.Locked(c.Adhesion)).Exists()
	}
	v.Needed = rearFirst(withoutValve(car))
	if !v.Needed {
		return v
	}
	tooHigh := func(split float64) (bool, error) {
		return rearFirst(withValve(car, si.Pressure(split), v.SplitSlope)), nil
	}
	if bad, _ := tooHigh(0); bad {
		return v
	}
	v.Possible = true
	split, _ := rootfind.Least(0, float64(verdict.MostLine), splitWithin, tooHigh)
	v.SplitPressure = answer.Of(si.Pressure(split - splitWithin))
	return v
}
