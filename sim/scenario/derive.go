package scenario

import (
	"math"
	"slices"

	"kneepoint/internal/physics"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// Figures of parts that a scenario names without giving their size (estimates).
const (
	pumpFlow   si.VolumeFlow = 25 * si.Litre / si.Minute
	pumpOn     si.Vacuum     = 14 * si.InchOfMercury
	pumpOff    si.Vacuum     = 20 * si.InchOfMercury
	tankVolume si.Volume     = 2 * si.Litre
	// hardestPress is how hard a driver presses who seeks a deceleration.
	hardestPress si.Force = 500
)

// TypicalPump returns the pump that an empty [pump] table stands for.
func TypicalPump() sim.Pump { return sim.Pump{FreeFlow: pumpFlow, On: pumpOn, Off: pumpOff} }

// derive fills in what follows from other values.
func (r *resolver) derive() {
	r.deriveAmbient()
	r.deriveSource()
	r.deriveIdleVacuum()
	r.deriveBooster()
	r.deriveHoses("circuit.front", &r.s.Config.Front, sim.Typical().Front, sim.FrontHoses)
	r.deriveHoses("circuit.rear", &r.s.Config.Rear, sim.Typical().Rear, sim.RearHoses)
	r.derivePumpAndTank()
	r.deriveBrake("brake.front", &r.s.Config.Car.FrontBrake, r.s.also.front)
	r.deriveBrake("brake.rear", &r.s.Config.Car.RearBrake, r.s.also.rear)
	r.deriveCar()
	r.deriveStops()
	r.deriveErrors()
	r.deriveFit()
}

func (r *resolver) deriveAmbient() {
	if r.isSet(KeyAmbientAltitude) && r.ordinaryAltitude(r.s.also.altitude) {
		r.s.Config.Ambient.Pressure = physics.PressureAt(r.s.also.altitude)
	}
}

// ordinaryAltitude keeps altitudes that the limits refuse from the formula,
// which holds for the troposphere only.
func (r *resolver) ordinaryAltitude(h si.Length) bool { return h >= -500 && h <= 7000 }

func (r *resolver) deriveSource() {
	source := &r.s.Config.Source
	switch {
	case r.isSet(KeySourceMeasuredAt) && r.ordinaryAltitude(r.s.also.measuredAt):
		source.MeasuredPressure = physics.PressureAt(r.s.also.measuredAt)
	case !r.isSet(KeySourceMeasuredPressure):
		source.MeasuredPressure = r.s.Config.Ambient.Pressure
	}
	r.deriveFromNeutral()
	if !r.isSet(KeySourceManifoldVolume) {
		source.ManifoldVolume = source.Displacement
	}
	if source.OverrunSpeed < source.IdleSpeed && !r.isSet(KeySourceOverrunSpeed) {
		source.OverrunSpeed = source.IdleSpeed
	}
}

// What the vacuum of an engine sinks by when its automatic is put into gear (common
// practice, no source).
const (
	LeastGearDrop si.Vacuum = 2 * si.InchOfMercury
	MostGearDrop  si.Vacuum = 4 * si.InchOfMercury
)

// deriveFromNeutral takes the vacuum in gear from the one out of it, as a range.
func (r *resolver) deriveFromNeutral() {
	const path = KeySourceVacuumInNeutral
	set, ok := r.s.set[path]
	if !ok || r.failed[path] || r.s.Config.Source.Kind != sim.SourceEngine || r.s.also.inNeutral > si.StandardAtmosphere {
		return
	}
	source, neutral := &r.s.Config.Source, r.s.also.inNeutral
	if r.isSet(KeySourceVacuum) {
		if source.Vacuum > neutral {
			r.warn(set, path, set.value.read(), "at least source.vacuum as it is in gear: an engine that has to drive has less")
		}
		return
	}
	var half si.Vacuum // what was read may be a range itself
	for _, spread := range r.s.Spreads {
		if spread.Path == path {
			half = si.Vacuum(spread.HalfWidth)
		}
	}
	r.s.Spreads = slices.DeleteFunc(r.s.Spreads, func(s Spread) bool { return s.Path == path })
	low, high := max(0, neutral-half-MostGearDrop), max(0, neutral+half-LeastGearDrop)
	source.Vacuum, source.InGear = (low+high)/2, true
	r.s.Spreads = append(r.s.Spreads, Spread{Path: KeySourceVacuum, Dim: si.DimVacuum, Value: float64(source.Vacuum), HalfWidth: float64(high-low) / 2})
	r.warn(set, path, set.value.read(), "source.vacuum too, read in gear: it is taken to be "+bandText(low, high))
}

func (r *resolver) deriveBooster() {
	b := &r.s.Config.Booster
	if b.Kind == sim.BoosterNone {
		*b = sim.Booster{Kind: sim.BoosterNone}
		return
	}
	diameter, area := r.isSet(KeyBoosterDiameter), r.isSet(KeyBoosterArea)
	switch {
	case area && !diameter:
		b.Diameters = nil
	case diameter && !area:
		b.Area = sim.BoosterOf(b.Diameters...).Area
	}
	front, rear := sim.VolumesOf(b.Area, b.Stroke)
	if !r.isSet(KeyBoosterFrontVolume) {
		b.FrontVolume = front
	}
	if !r.isSet(KeyBoosterRearVolume) {
		b.RearVolume = rear
	}
}

// RotorRadius is the radius at which the pads grip a disc of a diameter: they sit below
// its rim (estimate).
func RotorRadius(diameter si.Length) si.Length { return 0.4 * diameter }

// deriveHoses works the compliance out from the kind of hoses that was named.
func (r *resolver) deriveHoses(table string, c *sim.Circuit, typical sim.Circuit, n int) {
	if r.isSet(table+".hoses") && !r.isSet(table+".compliance") {
		c.Compliance = typical.WithHoses(c.Hoses, n).Compliance
	}
}

func (r *resolver) derivePumpAndTank() {
	pump := &r.s.Config.Pump
	if r.in.hasTable("pump") {
		typical := TypicalPump()
		if !r.isSet(KeyPumpFreeFlow) {
			pump.FreeFlow = typical.FreeFlow
		}
		if !r.isSet(KeyPumpOn) {
			pump.On = typical.On
		}
		if !r.isSet(KeyPumpOff) {
			pump.Off = typical.Off
		}
	}
	if r.in.hasTable("reservoir") && !r.isSet(KeyReservoirVolume) {
		r.s.Config.Reservoir.Volume = tankVolume
	}
}

// deriveCar fills in what follows from the road and from the kinds of brakes.
func (r *resolver) deriveCar() {
	c := &r.s.Config.Car
	if r.isSet(KeyCarTyreDiameter) {
		c.TyreRadius = RollingRadius(r.s.also.tyre)
	}
	if !r.isSet(KeyCarSlidingAdhesion) {
		c.SlidingAdhesion = sim.SlidingOf(c.Adhesion)
	}
	if r.isSet(KeyValvesResidual) {
		c.ResidualRear = r.s.also.residual
	}
	if usual := sim.Typical().Car; !r.isSet(KeyValvesSplitSlope) && (c.FrontBrake.Kind != usual.FrontBrake.Kind || c.RearBrake.Kind != usual.RearBrake.Kind) {
		c.SplitSlope = 1
	}
}

// deriveBrake gives a disc where the typical car has drums, or drums where it has
// discs, figures that suit it (estimates), and works the pistons' area out.
func (r *resolver) deriveBrake(table string, b *sim.Brake, p pistons) {
	typical := sim.Typical().Car.FrontBrake
	if table == "brake.rear" {
		typical = sim.Typical().Car.RearBrake
	}
	if b.Kind == sim.BrakeDrum {
		b.Kind = sim.BrakeLeadingTrailing
	}
	if b.Kind.IsDrum() != typical.Kind.IsDrum() {
		other := sim.Brake{Kind: b.Kind, PistonArea: 13e-4, Friction: 0.35, Radius: 0.115}
		if b.Kind.IsDrum() {
			other.PistonArea, other.Radius = 6e-4, 0.127
		}
		keep := *b
		*b = other
		if r.isSet(table + ".piston_area") {
			b.PistonArea = keep.PistonArea
		}
		if r.isSet(table + ".friction") {
			b.Friction = keep.Friction
		}
		if r.isSet(table + ".shoe_factor") {
			b.ShoeFactor = keep.ShoeFactor
		}
		if r.isSet(table + ".radius") {
			b.Radius = keep.Radius
		}
	}
	if r.isSet(table+".rotor_diameter") && !b.Kind.IsDrum() {
		b.Radius = RotorRadius(p.rotor)
	}
	if r.isSet(table+".drum_diameter") && b.Kind.IsDrum() {
		b.Radius = p.drum / 2
	}
	if r.isSet(table+".pistons") && !r.isSet(table+".piston_diameter") && !r.failed[table+".piston_diameter"] {
		set := r.s.set[table+".pistons"]
		r.fail(set.place, table+".pistons", set.value.read(), table+".piston_diameter with it")
	}
	if r.isSet(table + ".piston_diameter") {
		n := 1
		if r.isSet(table + ".pistons") {
			n = p.count
		}
		b.PistonArea = si.Area(float64(n) * math.Pi / 4 * float64(p.diameter) * float64(p.diameter))
	}
}

// deriveStops fills in how each press goes.
func (r *resolver) deriveStops() {
	s := r.s
	if r.isSet(KeyReservePedal) {
		s.Reserve.Deceleration = 0
	} else {
		s.Reserve.Pedal = s.Reserve.ForceLimit
	}
	if !r.isSet(KeyChooseManualRatios) {
		s.Choose.ManualRatios = []si.Ratio{s.Config.Pedal.Ratio}
		if s.Manual.PedalRatio != s.Config.Pedal.Ratio {
			s.Choose.ManualRatios = append(s.Choose.ManualRatios, s.Manual.PedalRatio)
		}
	}
	r.presentParts()
	if r.isSet(KeyChooseLinePressure) {
		s.Choose.Deceleration = 0
	}
	for i := range s.Presses {
		p, path := &s.Presses[i], func(name string) string { return elementKey("press", i, name) }
		if !r.isSet(path("press")) {
			p.Press = s.Reserve.Press
		}
		if !r.isSet(path("hold")) {
			p.Hold = s.Reserve.Hold
		}
		if !r.isSet(path("release")) {
			p.Release = s.Reserve.Release
		}
		if r.isSet(path("deceleration")) && !r.isSet(path("pedal")) {
			p.Pedal = hardestPress
		}
	}
}

// deriveErrors takes the tolerance of a reading for the gauge's error.
func (r *resolver) deriveErrors() {
	for _, spread := range r.s.Spreads {
		_, i, _ := keyOf(spread.Path)
		for _, name := range []string{"drop", "value", "travel", "takes"} {
			if spread.Path == elementKey("reading", i, name) && !r.isSet(elementKey("reading", i, "error")) {
				r.s.Readings[i].Error = spread.HalfWidth
			}
		}
	}
}
