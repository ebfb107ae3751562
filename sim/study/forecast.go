package study

import (
	"math"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// A forecast says from the booster's equilibrium what pedal force gives an output: that
// of the power line or that of the run-out line, whichever is more. It learns from every
// press. It only says where a search begins and goes on; what is found does not rest on it.
type forecast struct {
	c *sim.Config
	// area is the master cylinder's, preload what its springs and seals take, and give the
	// hub's travel for each output.
	area, preload, give float64
	// front is the vacuum as the pedal is pressed; as the hub runs in by x it shrinks the
	// front chamber, and the pressure there goes up by 1/(1 - squeeze x).
	front   si.Vacuum
	squeeze float64
	// power and runOut are what the two lines are short of, in input.
	power, runOut float64
	// output and travel are those that the demand takes.
	output, travel float64
}

// expect is the forecast for a line pressure, from the state before the press.
func expect(c *sim.Config, s sim.State, line si.Pressure) *forecast {
	area := float64(c.Master.Area())
	f := &forecast{c: c, front: s.FrontVacuum, area: area, preload: float64(c.Master.Spring + c.Master.Friction)}
	f.give = float64(c.Front.Compliance+c.Rear.Compliance) / (area * area)
	f.output = f.preload + area*float64(line)
	f.travel = float64(c.Front.TakeUp+c.Rear.TakeUp)/area + f.give*f.output
	if c.Booster.Kind != sim.BoosterNone && s.ManifoldVacuum < s.FrontVacuum/2 { // nothing draws
		f.squeeze = float64(c.Booster.Area) / float64(c.Booster.FrontVolume)
	}
	return f
}

// lines are the inputs that the two lines have for an output.
func (f *forecast) lines(output, travel float64) (power, runOut float64) {
	b, ambient := &f.c.Booster, f.c.Ambient.Pressure
	if b.Kind == sim.BoosterNone {
		return math.Inf(-1), output
	}
	front := ambient.Vacuum(f.front.Below(ambient) / si.Pressure(1-min(0.8, f.squeeze*travel)))
	return (output-float64(b.JumpIn))/float64(b.Ratio) + float64(b.CutIn), output - float64(b.Help(front, si.Length(travel)))
}

// pedal is the force that the demand should take.
func (f *forecast) pedal() float64 {
	power, runOut := f.lines(f.output, f.travel)
	return max(power+f.power, runOut+f.runOut) / float64(f.c.Pedal.Ratio*f.c.Pedal.Efficiency)
}

// learn takes in a press, and that the demand takes so many times its line pressure, which
// goes with the output beyond the preload.
func (f *forecast) learn(held sim.State, more float64) {
	output, travel := float64(held.Output), f.travel
	if !(output > f.preload) || !(more < math.Inf(1)) {
		return // the brakes do not bite yet
	}
	if f.c.Booster.Kind != sim.BoosterNone {
		ambient := f.c.Ambient.Pressure
		travel = max(1e-4, float64(held.Hub))
		f.squeeze = max(0, 1-float64(f.front.Below(ambient)/held.FrontVacuum.Below(ambient))) / travel
	}
	power, runOut := f.lines(output, travel)
	if held.WorkingVacuum > held.FrontVacuum/10 { // there is more help to be had
		f.power = float64(held.Input) - power
	} else {
		f.runOut = float64(held.Input) - runOut
	}
	f.output = f.preload + more*(output-f.preload)
	f.travel = travel + f.give*(f.output-output)
}
