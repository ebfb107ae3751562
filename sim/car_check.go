package sim

import (
	"fmt"
	"slices"

	"kneepoint/sim/si"
)

// A Problem is one value of a [Config] that cannot be, or that is unlikely.
type Problem struct {
	// Field is the value's place in the configuration: "Booster.Ratio".
	Field string
	// With are the fields of the other values that the limit depends on.
	With []string
	// Read is the value as printed.
	Read string
	// Want is the limit in words: "1 to 100".
	Want string
	// Fatal says that the model cannot run with the value; otherwise it is
	// unlikely, and worth a second look.
	Fatal bool
}

// Error returns the problem in one line.
func (p Problem) Error() string {
	return fmt.Sprintf("%s: read %s, want %s", p.Field, p.Read, p.Want)
}

// Limits of what the model takes. They keep out slips of the pen and of the
// unit; what is merely unusual is warned about.
const (
	limitVolume si.Volume    = 100 * si.Litre
	limitArea   si.Area      = 0.5
	limitForce  si.Force     = 20e3
	limitLine   si.Pressure  = 50e6
	limitRate   si.Stiffness = 1e6
)

// checker collects the problems of one Config, and words them in a system of units.
type checker struct {
	config *Config
	found  []Problem
	units  si.System
}

// add notes a problem of a field, by its address in the configuration.
func (k *checker) add(fatal bool, field any, read, want string, with ...any) {
	p := Problem{Field: k.config.FieldPath(field), Read: read, Want: want, Fatal: fatal}
	for _, other := range with {
		p.With = append(p.With, k.config.FieldPath(other))
	}
	k.found = append(k.found, p)
}

// Check returns what is wrong with the configuration: values that cannot be, and
// unlikely ones. A configuration without a fatal problem can be run. Limits
// without a source are common practice or plain caution.
func (c *Config) Check() []Problem { return c.CheckIn(si.SI) }

// CheckIn is Check with values and limits printed in a system of units. The problems
// are the same, in the same order.
func (c *Config) CheckIn(units si.System) []Problem {
	k := &checker{config: c, units: units}
	c.Ambient.check(k)
	c.Source.check(k, &c.Ambient)
	c.Pump.check(k, &c.Ambient)
	c.Booster.check(k)
	c.checkRest(k)
	mustLie(k, &c.Hose.Area, aboveZero, limitArea)
	shouldLie(k, &c.Hose.Area, 2e-6, 200e-6)
	mustLie(k, &c.Hose.Volume, aboveZero, limitVolume)
	c.Reservoir.check(k)
	mustLie(k, &c.Pedal.Ratio, 0.1, 25)
	shouldLie(k, &c.Pedal.Ratio, 2.5, 8)
	mustLie(k, &c.Pedal.Efficiency, 0.1, 1)
	shouldLie(k, &c.Pedal.Efficiency, 0.6, 1)
	c.Master.check(k)
	c.Front.check(k)
	c.Rear.check(k)
	c.Car.check(k)
	for i := range c.Faults {
		c.Faults[i].check(k)
	}
	return k.found
}

func (a *Ambient) check(k *checker) {
	mustLie(k, &a.Pressure, 40e3, 110e3)
	mustLie(k, &a.Temperature, si.ZeroCelsius-50, si.ZeroCelsius+60)
}

func (s *Source) check(k *checker, a *Ambient) {
	mustBeOneOf(k, &s.Kind, SourceBench, SourceEngine)
	mustLie(k, &s.MeasuredPressure, 40e3, 110e3, &a.Pressure)
	measured := a.Pressure
	if s.Kind == SourceEngine {
		measured = s.MeasuredPressure
	}
	switch {
	case !(s.Vacuum >= 0):
		k.add(true, &s.Vacuum, printed(k, s.Vacuum), "0 or more; a vacuum counts up from the ambient pressure")
	case !(si.Pressure(s.Vacuum) < measured):
		k.add(true, &s.Vacuum, printed(k, s.Vacuum), "less than the ambient pressure of "+air(k, measured),
			&s.MeasuredPressure, &a.Pressure)
	case s.Kind == SourceEngine && s.Vacuum.Below(measured) > a.Pressure:
		k.add(true, &s.Vacuum, printed(k, s.Vacuum),
			"more than "+printed(k, measured.Vacuum(a.Pressure))+", or of a reading at "+air(k, measured)+" nothing is left at "+air(k, a.Pressure),
			&a.Pressure, &s.MeasuredPressure)
	case s.Kind == SourceEngine && s.Vacuum > 24*si.InchOfMercury:
		k.add(false, &s.Vacuum, printed(k, s.Vacuum), "at most 24 inHg at idle (common practice, no source)")
	}
	if s.Kind != SourceEngine {
		return
	}
	if !s.InGear {
		k.add(false, &s.InGear, "false",
			"the idle vacuum in gear: there an automatic reads about 2-4 inHg less (common practice, no source)")
	}
	const rpm = si.RevPerMinute
	mustLie(k, &s.IdleSpeed, 200*rpm, 5000*rpm)
	shouldLie(k, &s.IdleSpeed, 450*rpm, 1800*rpm)
	mustLie(k, &s.OverrunSpeed, 200*rpm, 12000*rpm)
	if s.OverrunSpeed < s.IdleSpeed {
		k.add(true, &s.OverrunSpeed, printed(k, s.OverrunSpeed), "at least the idle speed of "+printed(k, s.IdleSpeed), &s.IdleSpeed)
	}
	mustLie(k, &s.Displacement, 0.02*si.Litre, limitVolume)
	shouldLie(k, &s.Displacement, 0.5*si.Litre, 12*si.Litre)
	mustLie(k, &s.Compression, 2, 30)
	shouldLie(k, &s.Compression, 6, 14)
	mustLie(k, &s.ManifoldVolume, 0.02*si.Litre, limitVolume, &s.Displacement)
}

func (p *Pump) check(k *checker, a *Ambient) {
	mustLie(k, &p.FreeFlow, 0, 1000*si.Litre/si.Minute)
	if p.FreeFlow == 0 {
		return
	}
	mustStayBelowAmbient(k, &p.On, a)
	mustStayBelowAmbient(k, &p.Off, a)
	if !(p.Off > p.On) {
		k.add(true, &p.Off, printed(k, p.Off), "more than the vacuum at which it starts, "+printed(k, p.On), &p.On)
	}
	if reach := a.pumpReach(); p.Off > reach {
		k.add(false, &p.Off, printed(k, p.Off),
			"at most "+printed(k, reach)+", which the pump reaches at this ambient pressure (estimate), or it never switches off",
			&a.Pressure)
	}
}

// mustStayBelowAmbient refuses a vacuum that is negative or reaches the ambient pressure.
func mustStayBelowAmbient(k *checker, v *si.Vacuum, a *Ambient) {
	if !(*v >= 0 && si.Pressure(*v) < a.Pressure) {
		k.add(true, v, printed(k, *v), "0 to less than the ambient pressure of "+air(k, a.Pressure), &a.Pressure)
	}
}

func (b *Booster) check(k *checker) {
	mustBeOneOf(k, &b.Kind, BoosterVacuum, BoosterNone)
	if b.Kind == BoosterNone {
		return
	}
	for i := range b.Diameters {
		mustLie(k, &b.Diameters[i], 20e-3, 0.8)
		shouldLie(k, &b.Diameters[i], 4*si.Inch, 14*si.Inch)
	}
	mustLie(k, &b.Area, aboveZero, limitArea, &b.Diameters)
	mustLie(k, &b.FrontVolume, aboveZero, limitVolume, &b.Area, &b.Diameters)
	mustLie(k, &b.RearVolume, aboveZero, limitVolume, &b.Area, &b.Diameters)
	if swept := si.Volume(float64(b.Area) * float64(b.Stroke)); b.FrontVolume < swept {
		k.add(false, &b.FrontVolume, printed(k, b.FrontVolume),
			"at least area × stroke, which is "+printed(k, swept)+"; the hub cannot go its full stroke",
			&b.Stroke, &b.Area, &b.Diameters)
	}
	mustLie(k, &b.Ratio, 1, 100)
	shouldLie(k, &b.Ratio, 1, 12)
	mustLie(k, &b.JumpIn, 0, limitForce)
	mustLie(k, &b.CutIn, 0, limitForce)
	mustLie(k, &b.Spring, 0, limitForce)
	mustLie(k, &b.SpringRate, 0, limitRate)
	mustLie(k, &b.Friction, 0, limitForce)
	mustLie(k, &b.TailArea, 0, limitArea)
	if b.TailArea >= b.Area {
		k.add(true, &b.TailArea, printed(k, b.TailArea), "less than the diaphragm's area of "+printed(k, b.Area), &b.Area, &b.Diameters)
	}
	mustLie(k, &b.Stroke, 1e-3, 0.2)
	shouldLie(k, &b.Stroke, 20e-3, 60e-3)
	mustLie(k, &b.FreePlay, 0, 0.2)
	if b.FreePlay >= b.Stroke {
		k.add(true, &b.FreePlay, printed(k, b.FreePlay), "less than the stroke of "+printed(k, b.Stroke), &b.Stroke)
	}
	mustLie(k, &b.AirValve, aboveZero, limitArea)
	mustLie(k, &b.VacuumValve, aboveZero, limitArea)
	mustLie(k, &b.Filter, aboveZero, limitArea)
}

// checkRest refuses a booster that applies itself: at rest ambient pushes on
// the tail against the return spring.
func (c *Config) checkRest(k *checker) {
	b := &c.Booster
	if b.Kind == BoosterNone {
		return
	}
	most := c.Source.Vacuum
	vacuum := &c.Source.Vacuum
	if c.Source.Kind == SourceEngine {
		most = c.Ambient.Pressure.Vacuum(c.Source.Vacuum.Below(c.Source.MeasuredPressure))
	}
	if c.Pump.FreeFlow > 0 && c.Pump.Off > most {
		most = c.Pump.Off
		vacuum = &c.Pump.Off
	}
	if push := pushOnTail(b, most); push > 0 && push >= b.Spring {
		k.add(true, &b.TailArea, printed(k, b.TailArea),
			printedPush(k, most, push, b)+", or the booster applies itself", &b.Spring, vacuum)
		return
	}
	if push := pushOnTail(b, most); push+b.Friction >= b.Spring {
		k.add(false, &b.Friction, printed(k, b.Friction),
			"less than what the spring of "+printed(k, b.Spring)+" has left against the push on the tail, or the hub may hang instead of returning (estimate)", &b.Spring, vacuum)
	}
	if c.Source.Kind != SourceEngine {
		return
	}
	overrun := si.Vacuum(highOverrunShare * c.Ambient.Pressure)
	if push := pushOnTail(b, overrun); push > 0 && push >= b.Spring {
		k.add(false, &b.TailArea, printed(k, b.TailArea),
			printedPush(k, overrun, push, b)+", or the booster applies itself on the overrun (estimate)", &b.Spring, vacuum)
	}
}

// highOverrunShare is the share of the ambient pressure that a stock engine's vacuum
// reaches on the overrun: 25 inHg of 30 (common practice, no source).
const highOverrunShare = 0.83

func pushOnTail(b *Booster, v si.Vacuum) si.Force { return si.Force(float64(b.TailArea) * float64(v)) }

func printedPush(k *checker, v si.Vacuum, push si.Force, b *Booster) string {
	return "area × vacuum, here " + printed(k, push) + " at " + printed(k, v) + ", below the spring preload of " + printed(k, b.Spring)
}

func (r *Reservoir) check(k *checker) {
	mustLie(k, &r.Volume, 0, limitVolume)
	if r.Volume != 0 {
		mustBeOneOf(k, &r.Place, PlaceEngineSide, PlaceBoosterSide)
	}
}

func (m *Master) check(k *checker) {
	mustLie(k, &m.Bore, 5e-3, 80e-3)
	shouldLie(k, &m.Bore, 15e-3, 32e-3)
	mustBeOneOf(k, &m.Circuits, MasterSingle, MasterDual)
	mustLie(k, &m.Stroke, 1e-3, 0.3)
	shouldLie(k, &m.Stroke, 20e-3, 60e-3)
	mustLie(k, &m.Spring, 0, limitForce)
	mustLie(k, &m.SpringRate, 0, limitRate)
	mustLie(k, &m.Friction, 0, limitForce)
}

func (c *Circuit) check(k *checker) {
	mustLie(k, &c.TakeUp, 0, limitVolume)
	shouldLie(k, &c.TakeUp, 0, 10e-6)
	mustLie(k, &c.Compliance, 1e-16, 100e-12)
	shouldLie(k, &c.Compliance, 0.02e-12, 5e-12)
	if c.Hoses != "" {
		mustBeOneOf(k, &c.Hoses, HosesRubber, HosesBraided)
	}
}

func (b *Brake) check(k *checker) {
	mustBeOneOf(k, &b.Kind, BrakeDisc, BrakeLeadingTrailing, BrakeTwoLeading, BrakeDuoServo, BrakeDrum)
	mustLie(k, &b.PistonArea, 1e-6, limitArea)
	switch {
	case !b.Kind.IsDrum():
		mustLie(k, &b.Friction, 0.01, 2)
		shouldLie(k, &b.Friction, 0.2, 0.6)
	case b.ShoeFactor != 0:
		mustLie(k, &b.ShoeFactor, 0.01, 20)
		shouldLie(k, &b.ShoeFactor, 1, 6)
	default:
		// Well below where a leading shoe locks by itself.
		mustLie(k, &b.Friction, 0.01, 0.7)
		shouldLie(k, &b.Friction, 0.2, 0.55)
	}
	mustLie(k, &b.Radius, 0.02, 0.5)
}

func (c *Car) check(k *checker) {
	mustLie(k, &c.Mass, 50, 60e3)
	shouldLie(k, &c.Mass, 400, 5000)
	c.FrontBrake.check(k)
	c.RearBrake.check(k)
	mustLie(k, &c.TyreRadius, 0.1, 1)
	mustLie(k, &c.Adhesion, 0.01, 2)
	shouldLie(k, &c.Adhesion, 0.1, 1)
	if !(c.SlidingAdhesion > 0 && c.SlidingAdhesion <= c.Adhesion) {
		k.add(true, &c.SlidingAdhesion, printed(k, c.SlidingAdhesion), "more than 0, at most the adhesion of "+printed(k, c.Adhesion), &c.Adhesion)
	}
	mustLie(k, &c.Wheelbase, 0.5, 12)
	mustLie(k, &c.CentreHeight, 0, 3)
	if c.CentreHeight >= c.Wheelbase {
		k.add(true, &c.CentreHeight, printed(k, c.CentreHeight), "less than the wheelbase of "+printed(k, c.Wheelbase), &c.Wheelbase)
	}
	mustLie(k, &c.FrontShare, 0.01, 0.99)
	shouldLie(k, &c.FrontShare, 0.35, 0.7)
	mustLie(k, &c.SplitPressure, 0, limitLine)
	mustLie(k, &c.SplitSlope, 0, 1)
	mustLie(k, &c.HoldOff, 0, limitLine)
	checkResidual(k, &c.FrontBrake, &c.ResidualFront)
	checkResidual(k, &c.RearBrake, &c.ResidualRear)
}

func checkResidual(k *checker, b *Brake, p *si.Pressure) {
	mustLie(k, p, 0, 1e6)
	if b.PadsDrag(*p) {
		k.add(false, p, printed(k, *p), "at most "+printed(k, dragFrom)+" behind discs, or their pads drag (common practice, no source)")
	}
}

func (f *Fault) check(k *checker) {
	if !slices.Contains(FaultNames(), f.Name) {
		k.add(true, &f.Name, fmt.Sprintf("%q", f.Name), quotedChoice(FaultNames()))
		return
	}
	switch f.Name.Measure() {
	case FaultByArea:
		mustLie(k, &f.Area, aboveZero, limitArea, &f.Name)
		shouldLie(k, &f.Area, 0, 100e-6)
	case FaultByOpen:
		mustLie(k, &f.Open, 0, 1, &f.Name)
	case FaultBySeverity:
		mustLie(k, &f.Severity, 0, 1, &f.Name)
	}
}
