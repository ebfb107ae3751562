package sim

import (
	"fmt"
	"slices"

	"kneepoint/sim/si"
)

// A Problem is one value of a [Config] that cannot be, or that is unlikely.
type Problem struct {
	// Key is the value's path in a scenario: "booster.ratio".
	Key string
	// With are the keys of the other values that the limit depends on.
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
	return fmt.Sprintf("%s: read %s, want %s", p.Key, p.Read, p.Want)
}

// FaultNames returns the faults that can be simulated.
func FaultNames() []FaultName {
	return []FaultName{
		FaultCheckValveLeak, FaultHoseLeak, FaultHoseRestricted, FaultFrontShellLeak, FaultDiaphragmTorn, FaultAirSeatLeak, FaultVacuumSeatLeak,
		FaultFilterBlocked, FaultLowSourceVacuum, FaultBoosterUndersized, FaultPedalRatioWrong, FaultBoreOversize, FaultPushrodTooLong, FaultAirInCircuit,
	}
}

// A FaultMeasure says which field of a [Fault] holds how bad it is.
type FaultMeasure string

// The measures of a fault.
const (
	FaultByArea     FaultMeasure = "area"
	FaultByOpen     FaultMeasure = "open"
	FaultBySeverity FaultMeasure = "severity"
)

// Measure returns how the fault is measured: leaks by their area, restrictions
// by the share still open, all else by severity.
func (n FaultName) Measure() FaultMeasure {
	switch n {
	case FaultCheckValveLeak, FaultHoseLeak, FaultFrontShellLeak, FaultDiaphragmTorn, FaultAirSeatLeak, FaultVacuumSeatLeak:
		return FaultByArea
	case FaultHoseRestricted, FaultFilterBlocked:
		return FaultByOpen
	default:
		return FaultBySeverity
	}
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
	found []Problem
	units si.System
}

func (k *checker) add(fatal bool, key, read, want string, with ...string) {
	k.found = append(k.found, Problem{Key: key, With: with, Read: read, Want: want, Fatal: fatal})
}

// Check returns what is wrong with the configuration: values that cannot be, and
// unlikely ones. A configuration without a fatal problem can be run. Limits
// without a source are common practice or plain caution.
func (c *Config) Check() []Problem { return c.CheckIn(si.SI) }

// CheckIn is Check with values and limits printed in a system of units. The problems
// are the same, in the same order.
func (c *Config) CheckIn(units si.System) []Problem {
	k := &checker{units: units}
	c.Ambient.check(k)
	c.Source.check(k, c.Ambient)
	c.Pump.check(k, c.Ambient)
	c.Booster.check(k)
	c.checkRest(k)
	mustLie(k, "hose.area", c.Hose.Area, aboveZero, limitArea)
	shouldLie(k, "hose.area", c.Hose.Area, 2e-6, 200e-6)
	mustLie(k, "hose.volume", c.Hose.Volume, aboveZero, limitVolume)
	c.Reservoir.check(k)
	mustLie(k, "pedal.ratio", c.Pedal.Ratio, 0.1, 50)
	shouldLie(k, "pedal.ratio", c.Pedal.Ratio, 2.5, 8)
	mustLie(k, "pedal.efficiency", c.Pedal.Efficiency, 0.1, 1)
	shouldLie(k, "pedal.efficiency", c.Pedal.Efficiency, 0.6, 1)
	c.Master.check(k)
	c.Front.check(k, "circuit.front")
	c.Rear.check(k, "circuit.rear")
	c.Car.check(k)
	for i := range c.Faults {
		c.Faults[i].check(k, fmt.Sprintf("fault[%d]", i))
	}
	return k.found
}

func (a Ambient) check(k *checker) {
	mustLie(k, "ambient.pressure", a.Pressure, 40e3, 110e3, "ambient.altitude")
	mustLie(k, "ambient.temperature", a.Temperature, si.ZeroCelsius-50, si.ZeroCelsius+60)
}

func (s Source) check(k *checker, a Ambient) {
	mustBeOneOf(k, "source.kind", s.Kind, SourceBench, SourceEngine)
	mustLie(k, "source.measured_pressure", s.MeasuredPressure, 40e3, 110e3, "source.measured_at", "ambient.pressure", "ambient.altitude")
	measured := a.Pressure
	if s.Kind == SourceEngine {
		measured = s.MeasuredPressure
	}
	switch {
	case !(s.Vacuum >= 0):
		k.add(true, "source.vacuum", printed(k, s.Vacuum), "0 or more; a vacuum counts up from the ambient pressure")
	case !(si.Pressure(s.Vacuum) < measured):
		k.add(true, "source.vacuum", printed(k, s.Vacuum), "less than the ambient pressure of "+air(k, measured),
			"source.measured_at", "source.measured_pressure", "ambient.altitude", "ambient.pressure")
	case s.Kind == SourceEngine && s.Vacuum.Below(measured) > a.Pressure:
		k.add(true, "source.vacuum", printed(k, s.Vacuum),
			"more than "+printed(k, measured.Vacuum(a.Pressure))+", or of a reading at "+air(k, measured)+" nothing is left at "+air(k, a.Pressure),
			"ambient.altitude", "ambient.pressure", "source.measured_at", "source.measured_pressure")
	case s.Kind == SourceEngine && s.Vacuum > 24*si.InchOfMercury:
		k.add(false, "source.vacuum", printed(k, s.Vacuum), "at most 24 inHg at idle (common practice, no source)")
	}
	if s.Kind != SourceEngine {
		return
	}
	if !s.InGear {
		k.add(false, "source.measured_in_gear", "false",
			"the idle vacuum in gear: there an automatic reads about 2-4 inHg less (common practice, no source)")
	}
	const rpm = si.RevPerMinute
	mustLie(k, "source.idle_speed", s.IdleSpeed, 200*rpm, 5000*rpm)
	shouldLie(k, "source.idle_speed", s.IdleSpeed, 450*rpm, 1800*rpm)
	mustLie(k, "source.overrun_speed", s.OverrunSpeed, 200*rpm, 12000*rpm)
	if s.OverrunSpeed < s.IdleSpeed {
		k.add(true, "source.overrun_speed", printed(k, s.OverrunSpeed), "at least the idle speed of "+printed(k, s.IdleSpeed), "source.idle_speed")
	}
	mustLie(k, "source.displacement", s.Displacement, 0.02*si.Litre, limitVolume)
	shouldLie(k, "source.displacement", s.Displacement, 0.5*si.Litre, 12*si.Litre)
	mustLie(k, "source.compression", s.Compression, 2, 30)
	shouldLie(k, "source.compression", s.Compression, 6, 14)
	mustLie(k, "source.manifold_volume", s.ManifoldVolume, 0.02*si.Litre, limitVolume, "source.displacement")
}

func (p Pump) check(k *checker, a Ambient) {
	mustLie(k, "pump.free_flow", p.FreeFlow, 0, 1000*si.Litre/si.Minute)
	if p.FreeFlow == 0 {
		return
	}
	mustStayBelowAmbient(k, "pump.on", p.On, a)
	mustStayBelowAmbient(k, "pump.off", p.Off, a)
	if !(p.Off > p.On) {
		k.add(true, "pump.off", printed(k, p.Off), "more than pump.on, which is "+printed(k, p.On), "pump.on")
	}
	if reach := a.pumpReach(); p.Off > reach {
		k.add(false, "pump.off", printed(k, p.Off),
			"at most "+printed(k, reach)+", which the pump reaches at this ambient pressure (estimate), or it never switches off",
			"ambient.altitude", "ambient.pressure")
	}
}

// mustStayBelowAmbient refuses a vacuum that is negative or reaches the ambient pressure.
func mustStayBelowAmbient(k *checker, key string, v si.Vacuum, a Ambient) {
	if !(v >= 0 && si.Pressure(v) < a.Pressure) {
		k.add(true, key, printed(k, v), "0 to less than the ambient pressure of "+air(k, a.Pressure), "ambient.altitude", "ambient.pressure")
	}
}

func (b Booster) check(k *checker) {
	mustBeOneOf(k, "booster.kind", b.Kind, BoosterVacuum, BoosterNone)
	if b.Kind == BoosterNone {
		return
	}
	for _, d := range b.Diameters {
		mustLie(k, "booster.diameter", d, 20e-3, 0.8)
		shouldLie(k, "booster.diameter", d, 4*si.Inch, 14*si.Inch)
	}
	mustLie(k, "booster.area", b.Area, aboveZero, limitArea, "booster.diameter")
	mustLie(k, "booster.front_volume", b.FrontVolume, aboveZero, limitVolume, "booster.area", "booster.diameter")
	mustLie(k, "booster.rear_volume", b.RearVolume, aboveZero, limitVolume, "booster.area", "booster.diameter")
	if swept := si.Volume(float64(b.Area) * float64(b.Stroke)); b.FrontVolume < swept {
		k.add(false, "booster.front_volume", printed(k, b.FrontVolume),
			"at least area × stroke, which is "+printed(k, swept)+"; the hub cannot go its full stroke",
			"booster.stroke", "booster.area", "booster.diameter")
	}
	mustLie(k, "booster.ratio", b.Ratio, 1, 100)
	shouldLie(k, "booster.ratio", b.Ratio, 1, 12)
	mustLie(k, "booster.jump_in", b.JumpIn, 0, limitForce)
	mustLie(k, "booster.cut_in", b.CutIn, 0, limitForce)
	mustLie(k, "booster.spring", b.Spring, 0, limitForce)
	mustLie(k, "booster.spring_rate", b.SpringRate, 0, limitRate)
	mustLie(k, "booster.friction", b.Friction, 0, limitForce)
	mustLie(k, "booster.tail_area", b.TailArea, 0, limitArea)
	if b.TailArea >= b.Area {
		k.add(true, "booster.tail_area", printed(k, b.TailArea), "less than the diaphragm's area of "+printed(k, b.Area), "booster.area", "booster.diameter")
	}
	mustLie(k, "booster.stroke", b.Stroke, 1e-3, 0.2)
	shouldLie(k, "booster.stroke", b.Stroke, 20e-3, 60e-3)
	mustLie(k, "booster.free_play", b.FreePlay, 0, 0.2)
	if b.FreePlay >= b.Stroke {
		k.add(true, "booster.free_play", printed(k, b.FreePlay), "less than the stroke of "+printed(k, b.Stroke), "booster.stroke")
	}
	mustLie(k, "booster.air_valve", b.AirValve, aboveZero, limitArea)
	mustLie(k, "booster.vacuum_valve", b.VacuumValve, aboveZero, limitArea)
	mustLie(k, "booster.filter", b.Filter, aboveZero, limitArea)
}

// checkRest refuses a booster that applies itself: at rest ambient pushes on
// the tail against the return spring.
func (c *Config) checkRest(k *checker) {
	b := c.Booster
	if b.Kind == BoosterNone {
		return
	}
	most := c.Source.Vacuum
	with := []string{"booster.spring", "source.vacuum"}
	if c.Source.Kind == SourceEngine {
		most = c.Ambient.Pressure.Vacuum(c.Source.Vacuum.Below(c.Source.MeasuredPressure))
	}
	if c.Pump.FreeFlow > 0 && c.Pump.Off > most {
		most = c.Pump.Off
		with[1] = "pump.off"
	}
	if push := pushOnTail(b, most); push > 0 && push >= b.Spring {
		k.add(true, "booster.tail_area", printed(k, b.TailArea),
			printedPush(k, most, push, b)+", or the booster applies itself", with...)
		return
	}
	if push := pushOnTail(b, most); push+b.Friction >= b.Spring {
		k.add(false, "booster.friction", printed(k, b.Friction),
			"less than what the spring of "+printed(k, b.Spring)+" has left against the push on the tail, or the hub may hang instead of returning (estimate)", with...)
	}
	if c.Source.Kind != SourceEngine {
		return
	}
	overrun := si.Vacuum(highOverrunShare * c.Ambient.Pressure)
	if push := pushOnTail(b, overrun); push > 0 && push >= b.Spring {
		k.add(false, "booster.tail_area", printed(k, b.TailArea),
			printedPush(k, overrun, push, b)+", or the booster applies itself on the overrun (estimate)", with...)
	}
}

// highOverrunShare is the share of the ambient pressure that a stock engine's vacuum
// reaches on the overrun: 25 inHg of 30 (common practice, no source).
const highOverrunShare = 0.83

func pushOnTail(b Booster, v si.Vacuum) si.Force { return si.Force(float64(b.TailArea) * float64(v)) }

func printedPush(k *checker, v si.Vacuum, push si.Force, b Booster) string {
	return "area × vacuum, here " + printed(k, push) + " at " + printed(k, v) + ", below the spring preload of " + printed(k, b.Spring)
}

func (r Reservoir) check(k *checker) {
	mustLie(k, "reservoir.volume", r.Volume, 0, limitVolume)
	if r.Volume != 0 {
		mustBeOneOf(k, "reservoir.place", r.Place, PlaceEngineSide, PlaceBoosterSide)
	}
}

func (m Master) check(k *checker) {
	mustLie(k, "master.bore", m.Bore, 5e-3, 80e-3)
	shouldLie(k, "master.bore", m.Bore, 15e-3, 32e-3)
	mustBeOneOf(k, "master.circuits", m.Circuits, MasterSingle, MasterDual)
	mustLie(k, "master.stroke", m.Stroke, 1e-3, 0.3)
	shouldLie(k, "master.stroke", m.Stroke, 20e-3, 60e-3)
	mustLie(k, "master.spring", m.Spring, 0, limitForce)
	mustLie(k, "master.spring_rate", m.SpringRate, 0, limitRate)
	mustLie(k, "master.friction", m.Friction, 0, limitForce)
}

func (c Circuit) check(k *checker, table string) {
	mustLie(k, table+".take_up", c.TakeUp, 0, limitVolume)
	shouldLie(k, table+".take_up", c.TakeUp, 0, 10e-6)
	mustLie(k, table+".compliance", c.Compliance, 1e-16, 100e-12)
	shouldLie(k, table+".compliance", c.Compliance, 0.02e-12, 5e-12)
	if c.Hoses != "" {
		mustBeOneOf(k, table+".hoses", c.Hoses, HosesRubber, HosesBraided)
	}
}

func (b Brake) check(k *checker, table string) {
	mustBeOneOf(k, table+".kind", b.Kind, BrakeDisc, BrakeLeadingTrailing, BrakeTwoLeading, BrakeDuoServo, BrakeDrum)
	mustLie(k, table+".piston_area", b.PistonArea, 1e-6, limitArea, table+".piston_diameter", table+".pistons")
	switch {
	case !b.Kind.IsDrum():
		mustLie(k, table+".friction", b.Friction, 0.01, 2)
		shouldLie(k, table+".friction", b.Friction, 0.2, 0.6)
	case b.ShoeFactor != 0:
		mustLie(k, table+".shoe_factor", b.ShoeFactor, 0.01, 20)
		shouldLie(k, table+".shoe_factor", b.ShoeFactor, 1, 6)
	default:
		// Well below where a leading shoe locks by itself.
		mustLie(k, table+".friction", b.Friction, 0.01, 0.7)
		shouldLie(k, table+".friction", b.Friction, 0.2, 0.55)
	}
	mustLie(k, table+".radius", b.Radius, 0.02, 0.5)
}

func (c Car) check(k *checker) {
	mustLie(k, "car.mass", c.Mass, 50, 60e3)
	shouldLie(k, "car.mass", c.Mass, 400, 5000)
	c.FrontBrake.check(k, "brake.front")
	c.RearBrake.check(k, "brake.rear")
	mustLie(k, "car.tyre_radius", c.TyreRadius, 0.1, 1)
	mustLie(k, "car.adhesion", c.Adhesion, 0.01, 2)
	shouldLie(k, "car.adhesion", c.Adhesion, 0.1, 1)
	if !(c.SlidingAdhesion > 0 && c.SlidingAdhesion <= c.Adhesion) {
		k.add(true, "car.sliding_adhesion", printed(k, c.SlidingAdhesion), "more than 0, at most the adhesion of "+printed(k, c.Adhesion), "car.adhesion")
	}
	mustLie(k, "car.wheelbase", c.Wheelbase, 0.5, 12)
	mustLie(k, "car.centre_height", c.CentreHeight, 0, 3)
	if c.CentreHeight >= c.Wheelbase {
		k.add(true, "car.centre_height", printed(k, c.CentreHeight), "less than the wheelbase of "+printed(k, c.Wheelbase), "car.wheelbase")
	}
	mustLie(k, "car.front_share", c.FrontShare, 0.01, 0.99)
	shouldLie(k, "car.front_share", c.FrontShare, 0.35, 0.7)
	mustLie(k, "valves.split_pressure", c.SplitPressure, 0, limitLine)
	mustLie(k, "valves.split_slope", c.SplitSlope, 0, 1)
	mustLie(k, "valves.hold_off", c.HoldOff, 0, limitLine)
	checkResidual(k, "valves.residual_front", &c.FrontBrake, c.ResidualFront)
	checkResidual(k, "valves.residual_rear", &c.RearBrake, c.ResidualRear, "valves.residual")
}

func checkResidual(k *checker, key string, b *Brake, p si.Pressure, with ...string) {
	mustLie(k, key, p, 0, 1e6, with...)
	if b.PadsDrag(p) {
		k.add(false, key, printed(k, p), "at most "+printed(k, dragFrom)+" behind discs, or their pads drag (common practice, no source)", with...)
	}
}

func (f Fault) check(k *checker, element string) {
	if !slices.Contains(FaultNames(), f.Name) {
		k.add(true, element+".name", fmt.Sprintf("%q", f.Name), quotedChoice(FaultNames()))
		return
	}
	switch f.Name.Measure() {
	case FaultByArea:
		mustLie(k, element+".area", f.Area, aboveZero, limitArea, element+".name")
		shouldLie(k, element+".area", f.Area, 0, 100e-6)
	case FaultByOpen:
		mustLie(k, element+".open", f.Open, 0, 1, element+".name")
	case FaultBySeverity:
		mustLie(k, element+".severity", f.Severity, 0, 1, element+".name")
	}
}
