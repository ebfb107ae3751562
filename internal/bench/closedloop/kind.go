package main

import (
	"bytes"
	"context"
	"fmt"

	"kneepoint/internal/verdict"
	"kneepoint/scenarios"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/study"
)

// kinds are the scenarios that the cars are built on.
var kinds = []string{"stock-ten-inch", "big-cam-nine", "bench-tandem", "mountain"}

// open reads a starter scenario.
func open(name string) (*scenario.Scenario, error) {
	text, err := scenarios.Read(name)
	if err != nil {
		return nil, err
	}
	return scenario.Read(bytes.NewReader(text), name+".toml")
}

// toSpare is by how much an engine has more than the least that its car's hard stop needs, so
// that few cars whose own figures differ are short of it.
const toSpare = 1.15

// isShort says whether a car, with what is wrong with it left out, is short of vacuum: whether
// its hard stop asks more of the foot than is easy, by the force curve. That is another room
// than the one that is tried here, and a fault that nobody drew.
func isShort(ctx context.Context, s *scenario.Scenario, c sim.Config) (bool, error) {
	curve, err := curveOf(ctx, s, c)
	if err != nil {
		return false, err
	}
	return !isEasy(curve), nil
}

// withEnough is a scenario whose engine has what the hard stop of its car needs: as it is
// written where it has, and otherwise with what the force curve asks for, and some to spare.
func withEnough(ctx context.Context, s *scenario.Scenario) (enough *scenario.Scenario, raised bool, err error) {
	curve, err := curveOf(ctx, s, s.Config)
	if err != nil {
		return nil, false, err
	}
	switch {
	case isEasy(curve):
		return s, false, nil
	case !curve.EasyVacuum.Exists():
		return nil, false, fmt.Errorf("no vacuum makes the hard stop of %q easy", s.Title)
	}
	other := *s
	other.Config.Source.Vacuum = toSpare * curve.EasyVacuum.Value()
	other.Config.Source.MeasuredPressure = s.Config.Ambient.Pressure
	return &other, true, nil
}

// isEasy says whether the hard stop asks no more of the foot than is easy; one that is out of
// reach is not.
func isEasy(c *study.CurveResult) bool { return c.Curves[0].HardStopPedal.Value() <= verdict.EasyPedal }

func curveOf(ctx context.Context, s *scenario.Scenario, c sim.Config) (*study.CurveResult, error) {
	other := *s
	other.Config = c
	other.Config.Faults = nil
	return study.Curve(ctx, &other, study.CurveOptions{})
}
