package study

import (
	"context"
	"fmt"
	"strings"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A LiningEnd is the car with the linings of its drums at one end of what they may be.
type LiningEnd struct {
	// The friction and the shoe factor exist for an axle whose linings are in doubt.
	FrontFriction answer.Optional[si.Ratio] `json:"front_friction"`
	FrontFactor   answer.Optional[si.Ratio] `json:"front_shoe_factor"`
	RearFriction  answer.Optional[si.Ratio] `json:"rear_friction"`
	RearFactor    answer.Optional[si.Ratio] `json:"rear_shoe_factor"`

	FirstLock verdict.FirstLock `json:"first_lock"`
	// WithoutValve is the first lock without a proportioning valve.
	WithoutValve verdict.FirstLock `json:"first_lock_without_valve"`
	Valve        Valve             `json:"valve"`
}

// A LiningRange is what is found where the drums' linings are in doubt.
type LiningRange struct {
	// Low is with the linings that grip least, High with those that grip most.
	Low  LiningEnd `json:"low"`
	High LiningEnd `json:"high"`
	// Turns is where between the two another axle begins to lock first, if it does.
	Turns *LiningEnd `json:"turns_at"`

	doubts []liningDoubt
}

// A liningDoubt is a drum brake whose linings may be anything from one to another.
type liningDoubt struct {
	axle      verdict.Axle
	low, high sim.Brake
	// why says what the range is, with its source.
	why string
}

// at is the brake at a share of the way from low to high.
func (d *liningDoubt) at(share si.Ratio) sim.Brake {
	b := d.low
	b.Friction += share * (d.high.Friction - d.low.Friction)
	b.ShoeFactor += share * (d.high.ShoeFactor - d.low.ShoeFactor)
	return b
}

// liningDoubts finds the drum brakes whose linings the scenario leaves open.
func liningDoubts(s *scenario.Scenario) []liningDoubt {
	var doubts []liningDoubt
	for _, axle := range []verdict.Axle{verdict.FrontAxle, verdict.RearAxle} {
		b := s.Config.Car.RearBrake
		if axle == verdict.FrontAxle {
			b = s.Config.Car.FrontBrake
		}
		if !b.Kind.IsDrum() {
			continue
		}
		if d, open := liningDoubtOf(s, "brake."+string(axle), b); open {
			d.axle = axle
			doubts = append(doubts, d)
		}
	}
	return doubts
}

func liningDoubtOf(s *scenario.Scenario, table string, b sim.Brake) (d liningDoubt, open bool) {
	d = liningDoubt{low: b, high: b}
	for _, spread := range s.Spreads {
		v, half := si.Ratio(spread.Value), si.Ratio(spread.HalfWidth)
		switch spread.Path {
		case table + ".shoe_factor":
			d.low.ShoeFactor, d.high.ShoeFactor, d.why = v-half, v+half, "as given"
			return d, half > 0
		case table + ".friction":
			if b.ShoeFactor == 0 && half > 0 {
				d.low.Friction, d.high.Friction, d.why = v-half, v+half, "as given"
				return d, true
			}
		}
	}
	low, high := verdict.Linings(b.Kind)
	known := s.IsSet(table + ".friction")
	switch {
	case b.ShoeFactor != 0, known && b.Kind != sim.BrakeDuoServo:
		return d, false
	case known: // its linings are, what the shoes make of them is not
		low, high = low*b.Friction/verdict.ServoAt, high*b.Friction/verdict.ServoAt
	}
	d.low.Friction, d.high.Friction = low, high
	d.why = "SAE J866, classes E and F, secondary copy"
	if b.Kind == sim.BrakeDuoServo {
		d.why = "what is said of duo-servo brakes: common practice, no source"
	}
	return d, true
}

// liningRange is what the car does at both ends of what its linings may be, all
// linings in doubt taken alike; nil where none is.
func liningRange(ctx context.Context, s *scenario.Scenario, at *driver) (*LiningRange, error) {
	r := &LiningRange{doubts: liningDoubts(s)}
	if len(r.doubts) == 0 {
		return nil, nil
	}
	end := func(share si.Ratio) (LiningEnd, error) { return liningEnd(ctx, r.doubts, s.Config.Car, share, at) }
	var err error
	if r.Low, err = end(0); err != nil {
		return nil, err
	}
	if r.High, err = end(1); err != nil || r.Low.FirstLock.Axle == r.High.FirstLock.Axle {
		return r, err
	}
	const halvings = 20
	low, high := si.Ratio(0), si.Ratio(1)
	for range halvings {
		mid := (low + high) / 2
		car := atLinings(r.doubts, s.Config.Car, mid)
		if (verdict.Road{Car: &car}).FirstLock().Axle == r.Low.FirstLock.Axle {
			low = mid
		} else {
			high = mid
		}
	}
	turns, err := end(high)
	r.Turns = &turns
	return r, err
}

// atLinings is the car with every lining in doubt at a share of its range.
func atLinings(doubts []liningDoubt, car sim.Car, share si.Ratio) sim.Car {
	for i := range doubts {
		if b := doubts[i].at(share); doubts[i].axle == verdict.FrontAxle {
			car.FrontBrake = b
		} else {
			car.RearBrake = b
		}
	}
	return car
}

func liningEnd(ctx context.Context, doubts []liningDoubt, car sim.Car, share si.Ratio, at *driver) (LiningEnd, error) {
	car = atLinings(doubts, car, share)
	bare := withoutValve(car)
	out := LiningEnd{
		Valve: neededValve(car),
	}
	var err error
	if out.FirstLock, err = at.firstLock(ctx, &car); err != nil {
		return out, err
	}
	if out.WithoutValve, err = at.firstLock(ctx, &bare); err != nil {
		return out, err
	}
	for _, d := range doubts {
		b := d.at(share)
		friction, factor := answer.Of(b.Friction), answer.Of(b.Factor())
		if b.ShoeFactor != 0 {
			friction = answer.Of(b.Kind.Friction(b.ShoeFactor))
		}
		if d.axle == verdict.FrontAxle {
			out.FrontFriction, out.FrontFactor = friction, factor
		} else {
			out.RearFriction, out.RearFactor = friction, factor
		}
	}
	return out, nil
}

// words say what the linings may be, and whether that turns the verdict.
func (r *LiningRange) words(u si.System, car *sim.Car) []string {
	var open []string
	for _, d := range r.doubts {
		open = append(open, fmt.Sprintf("the %s linings' friction may be %s, which in this %s brake makes a shoe factor of %.1f to %.1f (%s)",
			d.axle, shareSpan(d.friction(d.low), d.friction(d.high)), d.low.Kind, float64(d.low.Factor()), float64(d.high.Factor()), d.why))
	}
	text := "How well the drums grip is not known: " + strings.Join(open, "; ") + ". "
	low, high := r.Low.FirstLock, r.High.FirstLock
	switch {
	case r.Turns != nil:
		text += fmt.Sprintf("That decides which axle locks first: %s; it turns at a friction of about %s. Until the linings' friction is known, take the worse of the two.",
			atBoth(low, high, u), r.Turns.frictions())
	case low.Axle == verdict.NoAxle:
		text += "With the least and with the most of it no wheel locks."
	default:
		text += "That does not turn the order: " + atBoth(low, high, u) + "."
	}
	words := []string{text}
	if hasValve(car) {
		words[0] += " Without its valve " + atBoth(r.Low.WithoutValve, r.High.WithoutValve, u) + "."
	}
	return append(words, r.valveWords(car, u)...)
}

func (d *liningDoubt) friction(b sim.Brake) si.Ratio {
	if b.ShoeFactor != 0 {
		return b.Kind.Friction(b.ShoeFactor)
	}
	return b.Friction
}

func shareSpan(low, high si.Ratio) string {
	return fmt.Sprintf("%.2g to %.2g", float64(low), float64(high))
}

func locking(l verdict.FirstLock, u si.System) string {
	if l.Axle == verdict.NoAxle {
		return "no wheel locks"
	}
	return fmt.Sprintf("%s first, at %s", wheels(l.Axle), slowing(l.Deceleration.Value(), u))
}

// atBoth says what locks first with the least grip of the linings and with the most.
func atBoth(low, high verdict.FirstLock, u si.System) string {
	if low.Axle != high.Axle || low.Axle == verdict.NoAxle {
		return fmt.Sprintf("%s with the least of it, %s with the most", locking(low, u), locking(high, u))
	}
	return fmt.Sprintf("%s first with the least of it and with the most, at %s and at %s", wheels(low.Axle),
		slowing(low.Deceleration.Value(), u), slowing(high.Deceleration.Value(), u))
}

func (e *LiningEnd) frictions() string {
	switch {
	case !e.FrontFriction.Exists():
		return fmt.Sprintf("%.2f", float64(e.RearFriction.Value()))
	case !e.RearFriction.Exists():
		return fmt.Sprintf("%.2f", float64(e.FrontFriction.Value()))
	}
	return fmt.Sprintf("%.2f in front and %.2f behind", float64(e.FrontFriction.Value()), float64(e.RearFriction.Value()))
}

// valveWords say what valve each end needs, where that differs from needing none.
func (r *LiningRange) valveWords(car *sim.Car, u si.System) []string {
	needs := func(v Valve) string {
		switch {
		case !v.Needed:
			return "no valve is needed"
		case !v.Possible:
			return fmt.Sprintf("no valve of a slope of %.2g keeps the front wheels first", float64(v.SplitSlope))
		}
		return "a valve must split at " + pressure(v.SplitPressure.Value(), u)
	}
	low, high := r.Low.Valve, r.High.Valve
	if !low.Needed && !high.Needed {
		return nil
	}
	text := fmt.Sprintf("With the least grip %s, with the most %s.", needs(low), needs(high))
	if hasValve(car) && high.SplitPressure.Exists() && car.SplitPressure > high.SplitPressure.Value() {
		text += fmt.Sprintf(" The one fitted, at %s, is not low enough for the most: on a road with less grip the rear wheels can lock first.", pressure(car.SplitPressure, u))
	}
	return []string{text}
}
