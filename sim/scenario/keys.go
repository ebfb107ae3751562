package scenario

import (
	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// keys is the table of all keys, in the order in which a document is written.
var keys, keyIndex = buildKeys()

func buildKeys() ([]key, map[string]int) {
	var all []key
	for _, part := range [][]key{
		titleKey(), ambientKeys(), sourceKeys(), camKeys(), pumpKeys(), boosterKeys(), hoseKeys(), reservoirKeys(),
		pedalKeys(), masterKeys(),
		circuitKeys("circuit.front", func(s *Scenario, _ int) *sim.Circuit { return &s.Config.Front }),
		circuitKeys("circuit.rear", func(s *Scenario, _ int) *sim.Circuit { return &s.Config.Rear }),
		carKeys(),
		brakeKeys("brake.front", func(s *Scenario, _ int) *sim.Brake { return &s.Config.Car.FrontBrake }, func(s *Scenario, _ int) *pistons { return &s.also.front }),
		brakeKeys("brake.rear", func(s *Scenario, _ int) *sim.Brake { return &s.Config.Car.RearBrake }, func(s *Scenario, _ int) *pistons { return &s.also.rear }),
		valveKeys(), manualKeys(), reserveKeys(), pressKeys(), eventKeys(), faultKeys(), readingKeys(), diagnoseKeys(), chooseKeys(), fitKeys(),
	} {
		all = append(all, part...)
	}
	index := make(map[string]int, len(all))
	for i := range all {
		index[all[i].path] = i
	}
	return all, index
}

// Limits, in SI, of the values that are no part of the configuration.
const (
	hour     = 3600
	day      = 24 * hour
	hardFoot = 5000 // N, beyond what any leg presses
)

func titleKey() []key {
	return table("", func(s *Scenario, _ int) *Scenario { return s }, nil,
		field("title", "what the scenario is about", func(s *Scenario) *string { return &s.Title }, another))
}

func ambientKeys() []key {
	return append(
		table("ambient", func(s *Scenario, _ int) *also { return &s.also }, nil,
			field(KeyAmbientAltitude, "height above sea level, from which the air pressure follows (ISA)", func(a *also) *si.Length { return &a.altitude }, another, limits(-500, 7000), instead(KeyAmbientPressure))),
		table("ambient", func(s *Scenario, _ int) *sim.Ambient { return &s.Config.Ambient }, nil,
			field(KeyAmbientPressure, "absolute air pressure", func(a *sim.Ambient) *si.Pressure { return &a.Pressure }, derived("of the altitude, or at sea level (ISA)"), mainKey, instead(KeyAmbientAltitude),
				plausible(75e3, 103e3, "set ambient.altitude from a map; a weather report gives the pressure at sea level")),
			field(KeyAmbientTemperature, "of the air and of every wall", func(a *sim.Ambient) *si.Temperature { return &a.Temperature },
				plausible(si.ZeroCelsius-10, si.ZeroCelsius+45, "a thermometer beside the booster")))...)
}

func sourceKeys() []key {
	source := func(s *Scenario, _ int) *sim.Source { return &s.Config.Source }
	measured := func(s *Scenario, i int) bool { return engine(s, i) && !s.estimated }
	keys := table("source", source, nil,
		field(KeySourceKind, "a bench holds exactly its vacuum until it is shut off, an engine's gives way", func(s *sim.Source) *sim.SourceKind { return &s.Kind }, words(sim.SourceBench, sim.SourceEngine), mainKey,
			found("it is an engine unless something holds the vacuum constant")),
		field(KeySourceVacuum, "the bench's, or the engine's measured at idle", func(s *sim.Source) *si.Vacuum { return &s.Vacuum }, estimate, mainKey,
			plausible(8*inHg, 21*inHg, "a vacuum gauge on the manifold, engine warm, idling in gear")))
	keys = append(keys, table("source", func(s *Scenario, _ int) *also { return &s.also }, measured,
		field(KeySourceVacuumInNeutral, "of an engine with an automatic, measured out of gear; without source.vacuum that is taken to be 2 to 4 inHg less (common practice, no source)", func(a *also) *si.Vacuum { return &a.inNeutral }, another, limits(0, 101e3)),
		field(KeySourceMeasuredAt, "altitude at which the idle vacuum was read", func(a *also) *si.Length { return &a.measuredAt }, another, limits(-500, 7000), instead(KeySourceMeasuredPressure)))...)
	keys = append(keys, table("source", source, measured,
		field(KeySourceMeasuredPressure, "air pressure at which the idle vacuum was read", func(s *sim.Source) *si.Pressure { return &s.MeasuredPressure }, derived("the scenario's own: the vacuum is not scaled"), instead(KeySourceMeasuredAt),
			found("note the altitude where the gauge was read, as source.measured_at")),
		field(KeySourceMeasuredInGear, "whether the idle vacuum was read in gear, under load", func(s *sim.Source) *bool { return &s.InGear },
			found("read the gauge again in gear with the foot on the brake")))...)
	keys = append(keys, table("source", source, engine,
		field(KeySourceIdleSpeed, "at which the idle vacuum was read", func(s *sim.Source) *si.Rotation { return &s.IdleSpeed }, estimate, mainKey,
			plausible(550*rpm, 1100*rpm, "the tachometer, engine warm, idling in gear")),
		field(KeySourceDisplacement, "of the engine", func(s *sim.Source) *si.Volume { return &s.Displacement }, estimate, mainKey,
			plausible(1.5*si.Litre, 7.5*si.Litre, "the engine's papers, or bore and stroke and the number of cylinders")),
		field(KeySourceCompression, "compression ratio", func(s *sim.Source) *si.Ratio { return &s.Compression }, estimate,
			plausible(8, 11.5, "the engine's papers; a compression gauge does not give it")),
		field(KeySourceManifoldVolume, "between throttle and inlet valves", func(s *sim.Source) *si.Volume { return &s.ManifoldVolume }, estimate, derived("the displacement"),
			shares(0.4, 1.5, "fill the manifold with water when it is off the engine")),
		field(KeySourceOverrunSpeed, "with the throttle shut on the road", func(s *sim.Source) *si.Rotation { return &s.OverrunSpeed }, estimate,
			plausible(1500*rpm, 4000*rpm, "the tachometer as you lift off before you brake")))...)
	return append(keys, table("source", idling, hasCam,
		field(KeySourceCylinders, "for the estimate from the cam", func(e *sim.IdlingEngine) *int { return &e.Cylinders }, estimate, limits(1, 16),
			plausible(4, 12, "count them")),
		field(KeySourceCylinderBore, "for the estimate from the cam", func(e *sim.IdlingEngine) *si.Length { return &e.Bore }, estimate, derived("of the displacement, 1.15 times the stroke"), limits(5e-3, 0.6),
			shares(0.9, 1.1, "the engine's papers, or a bore gauge with the head off")))...)
}

func engine(s *Scenario, _ int) bool { return s.Config.Source.Kind == sim.SourceEngine }

// hasCam reports whether there is a cam to estimate an idle vacuum from.
func hasCam(s *Scenario, i int) bool { return engine(s, i) && s.also.idling.Cam.Duration != 0 }

func idling(s *Scenario, _ int) *sim.IdlingEngine { return &s.also.idling }

func camKeys() []key {
	cam := func(s *Scenario, i int) *sim.Cam { return &idling(s, i).Cam }
	keys := table("cam", cam, engine,
		field(KeyCamDuration, "at 0.050 in of lift, in degrees of the crank; gives an estimate of an idle vacuum that was not measured", func(c *sim.Cam) *float64 { return &c.Duration }, another, limits(120, 340)))
	return append(keys, table("cam", cam, hasCam,
		field(KeyCamLobeSeparation, "angle between the lobes' centres, in degrees of the cam", func(c *sim.Cam) *float64 { return &c.LobeSeparation }, estimate, limits(85, 135),
			plausible(104, 116, "the cam's card")),
		field(KeyCamLift, "greatest lift of a valve", func(c *sim.Cam) *si.Length { return &c.Lift }, estimate, derived("a quarter of the intake valve"), limits(1e-3, 70e-3),
			shares(0.8, 1.3, "the cam's card: lift at the lobe times the rocker's ratio")),
		field(KeyCamIntakeValve, "diameter of its head", func(c *sim.Cam) *si.Length { return &c.IntakeValve }, estimate, derived("0.48 of the cylinder bore"), limits(3e-3, 0.3),
			shares(0.85, 1.15, "the head's papers, or a calliper with the head off")))...)
}

func pumpKeys() []key {
	present := func(s *Scenario, _ int) bool { return s.Config.Pump.FreeFlow > 0 }
	return table("pump", func(s *Scenario, _ int) *sim.Pump { return &s.Config.Pump }, present,
		field(KeyPumpFreeFlow, "of an electric vacuum pump, at ambient pressure", func(p *sim.Pump) *si.VolumeFlow { return &p.FreeFlow }, estimate, defaultIs("without [pump]: no pump"),
			plausible(10*si.Litre/si.Minute, 40*si.Litre/si.Minute, "the pump's plate, or the time it takes to draw a tank down")),
		field(KeyPumpOn, "vacuum below which it starts", func(p *sim.Pump) *si.Vacuum { return &p.On }, estimate,
			plausible(12*inHg, 17*inHg, "a gauge at the booster: where the pump starts as you pump the pedal")),
		field(KeyPumpOff, "vacuum at which it stops", func(p *sim.Pump) *si.Vacuum { return &p.Off }, estimate,
			plausible(18*inHg, 23*inHg, "a gauge at the booster: where the pump stops")),
		field("with_engine_off", "whether it runs with the engine off", func(p *sim.Pump) *bool { return &p.EngineOff },
			found("ignition on, engine off: pump the pedal and listen")))
}

func boosterKeys() []key {
	booster := func(s *Scenario, _ int) *sim.Booster { return &s.Config.Booster }
	there := func(s *Scenario, _ int) bool { return s.Config.Booster.Kind == sim.BoosterVacuum }
	keys := table("booster", booster, nil,
		field(KeyBoosterKind, "none is a pedal straight on the master cylinder", func(b *sim.Booster) *sim.BoosterKind { return &b.Kind }, words(sim.BoosterVacuum, sim.BoosterNone),
			found("look for a round shell between the pedal and the master cylinder")))
	return append(keys, table("booster", booster, there,
		field(KeyBoosterDiameter, "of the shell; two for a tandem", func(b *sim.Booster) *[]si.Length { return &b.Diameters }, another, estimate, mainKey, atMost(2),
			plausible(7*si.Inch, 11*si.Inch, "a tape across the shell; two shells one behind the other are a tandem")),
		field(KeyBoosterArea, "effective area of all diaphragms", func(b *sim.Booster) *si.Area { return &b.Area }, estimate, derived("0.92 of the shell's circle, 0.96 in a tandem"),
			shares(0.92, 1.06, "the circle at the middle of the diaphragm's roll, shell open; or kneepoint fit")),
		field(KeyBoosterFrontVolume, "of the vacuum chamber at rest", func(b *sim.Booster) *si.Volume { return &b.FrontVolume }, estimate, derived("one measured booster scaled by area, 2.4 L for 533 cm²"),
			shares(1, 1.72, "a gauge at the booster over a few stops with the engine off, and kneepoint fit")),
		field(KeyBoosterRearVolume, "of the working chamber at rest", func(b *sim.Booster) *si.Volume { return &b.RearVolume }, estimate, derived("one measured booster scaled by area, 0.43 L for 533 cm²"),
			shares(1, 1.6, "a gauge at the booster over a few stops with the engine off, and kneepoint fit")),
		field(KeyBoosterRatio, "boost ratio of the reaction disc", func(b *sim.Booster) *si.Ratio { return &b.Ratio }, estimate, mainKey,
			plausible(3, 8, "line pressure at two pedal forces below the knee; or kneepoint fit")),
		field(KeyBoosterJumpIn, "output force at which the disc first pushes back", func(b *sim.Booster) *si.Force { return &b.JumpIn }, estimate,
			plausible(200, 1000, "a slow press with a line gauge: the pressure at which the first step ends, times the bore's circle")),
		field("cut_in", "input force before anything happens", func(b *sim.Booster) *si.Force { return &b.CutIn }, estimate,
			plausible(40, 130, "a spring scale on the pad where the line pressure begins to rise, times the pedal ratio")),
		field("spring", "preload of the return spring", func(b *sim.Booster) *si.Force { return &b.Spring }, estimate,
			plausible(85, 200, "a spring scale on the hub with the shell open")),
		field("spring_rate", "of the return spring", func(b *sim.Booster) *si.Stiffness { return &b.SpringRate }, estimate,
			plausible(1e3, 5e3, "a spring scale on the hub with the shell open, at two strokes")),
		field("friction", "of hub and seals", func(b *sim.Booster) *si.Force { return &b.Friction }, estimate,
			plausible(2, 50, "half the difference between pressing and releasing at the same line pressure, in part")),
		field("tail_area", "of the hub's tail, which sees ambient", func(b *sim.Booster) *si.Area { return &b.TailArea }, estimate,
			plausible(0.7e-3, 1.4e-3, "a calliper on the tail that leaves the shell towards the pedal: its circle")),
		field("stroke", "of the hub", func(b *sim.Booster) *si.Length { return &b.Stroke }, estimate,
			plausible(28e-3, 46e-3, "how far the output rod comes, master cylinder unbolted")),
		field("free_play", "of the hub before it meets the master cylinder's piston", func(b *sim.Booster) *si.Length { return &b.FreePlay }, estimate,
			plausible(0.1e-3, 1.5e-3, "modelling clay between the output rod and the master cylinder's piston")),
		field("air_valve", "full effective area", func(b *sim.Booster) *si.Area { return &b.AirValve }, estimate,
			plausible(25e-6, 100e-6, "how fast the line pressure follows a stamp on the pedal, and kneepoint fit")),
		field("vacuum_valve", "full effective area", func(b *sim.Booster) *si.Area { return &b.VacuumValve }, estimate,
			plausible(20e-6, 90e-6, "how fast the line pressure falls on release, and kneepoint fit")),
		field("filter", "effective area of the air filter", func(b *sim.Booster) *si.Area { return &b.Filter }, estimate,
			plausible(80e-6, 350e-6, "try it without the filter")))...)
}

func hoseKeys() []key {
	return table("hose", func(s *Scenario, _ int) *sim.Hose { return &s.Config.Hose }, nil,
		field("area", "effective area, with the check valve", func(h *sim.Hose) *si.Area { return &h.Area }, estimate,
			plausible(8e-6, 40e-6, "how fast a gauge at the booster comes back as the engine idles, and kneepoint fit")),
		field("volume", "inside the hose", func(h *sim.Hose) *si.Volume { return &h.Volume }, estimate,
			plausible(0.05e-3, 0.3e-3, "its length times the circle of its inside")))
}

func reservoirKeys() []key {
	present := func(s *Scenario, _ int) bool { return s.Config.Reservoir.Volume > 0 }
	return table("reservoir", func(s *Scenario, _ int) *sim.Reservoir { return &s.Config.Reservoir }, present,
		field(KeyReservoirVolume, "of a vacuum tank", func(r *sim.Reservoir) *si.Volume { return &r.Volume }, estimate, defaultIs("without [reservoir]: no tank"),
			plausible(1*si.Litre, 4*si.Litre, "weigh it empty and full of water: 1 kg is 1 L")),
		field("place", "the side of the booster's check valve it is on", func(r *sim.Reservoir) *sim.Place { return &r.Place }, words(sim.PlaceEngineSide, sim.PlaceBoosterSide),
			found("follow the hoses: before or behind the check valve at the booster")),
		field("inlet_valve", "whether it has a check valve of its own, so that the engine cannot bleed it", func(r *sim.Reservoir) *bool { return &r.InletValve },
			found("look for a valve in its inlet; air passes one way only")))
}

func pedalKeys() []key {
	return table("pedal", func(s *Scenario, _ int) *sim.Pedal { return &s.Config.Pedal }, nil,
		field(KeyPedalRatio, "input rod force over pedal force", func(p *sim.Pedal) *si.Ratio { return &p.Ratio }, estimate, mainKey,
			plausible(2.8, 7, "a tape: pivot to the middle of the pad, over pivot to the booster's rod")),
		field("efficiency", "of the linkage", func(p *sim.Pedal) *si.Ratio { return &p.Efficiency }, estimate,
			plausible(0.85, 1, "a spring scale on the pad, and the force at the rod")))
}

func masterKeys() []key {
	return table("master", func(s *Scenario, _ int) *sim.Master { return &s.Config.Master }, nil,
		field(KeyMasterBore, "diameter of the master cylinder", func(m *sim.Master) *si.Length { return &m.Bore }, estimate, mainKey,
			plausible(0.75*si.Inch, 1.125*si.Inch, "cast into the body as a rule; else a calliper on the piston")),
		field(KeyMasterCircuits, "one piston, or two in line", func(m *sim.Master) *sim.Circuits { return &m.Circuits }, words(sim.MasterDual, sim.MasterSingle),
			found("look: one outlet or two, and one chamber of fluid or two")),
		field("stroke", "of the piston, over both halves of a dual one", func(m *sim.Master) *si.Length { return &m.Stroke }, estimate,
			plausible(26e-3, 44e-3, "a depth gauge on the piston, off the car")),
		field("spring", "preload of the return springs", func(m *sim.Master) *si.Force { return &m.Spring }, estimate,
			plausible(40, 150, "a spring scale on the piston, off the car")),
		field("spring_rate", "of the return springs", func(m *sim.Master) *si.Stiffness { return &m.SpringRate }, estimate,
			plausible(1e3, 4e3, "a spring scale on the piston at two strokes, off the car")),
		field("friction", "of the seals", func(m *sim.Master) *si.Force { return &m.Friction }, estimate,
			plausible(10, 80, "a spring scale on the piston, pressing and releasing, off the car")))
}

func circuitKeys(name string, of func(*Scenario, int) *sim.Circuit) []key {
	return table(name, of, nil,
		field("take_up", "fluid that closes the clearances at almost no pressure", func(c *sim.Circuit) *si.Volume { return &c.TakeUp }, estimate,
			shares(0.4, 2.5, "pedal travel to the first resistance over the pedal ratio, times the bore's circle")),
		field("compliance", "fluid for each unit of pressure from there on", func(c *sim.Circuit) *si.Compliance { return &c.Compliance }, estimate, derived("what the parts give with these hoses"),
			shares(0.6, 1.8, "pedal travel between two line pressures, and kneepoint fit")),
		field("hoses", "rubber ones stretch more; a compliance that is set contains them", func(c *sim.Circuit) *sim.Hoses { return &c.Hoses }, words(sim.HosesRubber, sim.HosesBraided),
			found("look: rubber, or a braid of steel")),
		field("lost", "whether the circuit holds no pressure at all", func(c *sim.Circuit) *bool { return &c.Lost },
			found("open a bleeder as someone presses: fluid comes or not")))
}

func carKeys() []key {
	radius := KeyCarTyreRadius
	height := table("car", func(s *Scenario, _ int) *also { return &s.also }, nil,
		field(KeyCarTyreDiameter, "height of the tyre, from which its rolling radius follows", func(a *also) *si.Length { return &a.tyre }, another, limits(0.2, 1.5), instead(radius)))
	return append(height, table("car", func(s *Scenario, _ int) *sim.Car { return &s.Config.Car }, nil,
		field(KeyCarMass, "of the car and all in it", func(c *sim.Car) *si.Mass { return &c.Mass }, estimate, mainKey,
			plausible(1100, 2200, "a weighbridge, with those in the car who will ride")),
		field(KeyCarWheelbase, "between the axles", func(c *sim.Car) *si.Length { return &c.Wheelbase }, estimate,
			plausible(2.2, 3.2, "a tape from hub to hub")),
		field("centre_height", "of the centre of mass above the road", func(c *sim.Car) *si.Length { return &c.CentreHeight }, estimate,
			plausible(0.45, 0.68, "weigh one axle level, and again with the other end raised")),
		field(KeyCarFrontShare, "of the weight at rest", func(c *sim.Car) *si.Ratio { return &c.FrontShare }, estimate,
			plausible(0.46, 0.62, "a weighbridge, one axle at a time")),
		field(KeyCarTyreRadius, "rolling radius", func(c *sim.Car) *si.Length { return &c.TyreRadius }, estimate,
			plausible(0.28, 0.37, "how far the car rolls in one turn of the wheel, over 6.28"), instead(KeyCarTyreDiameter)),
		field(KeyCarAdhesion, "between tyre and road", func(c *sim.Car) *si.Ratio { return &c.Adhesion }, estimate,
			plausible(0.7, 1, "a stop with the wheels just short of locking, and a decelerometer")),
		field(KeyCarSlidingAdhesion, "between tyre and road with the wheel locked", func(c *sim.Car) *si.Ratio { return &c.SlidingAdhesion }, estimate, derived("0.83 of the adhesion"),
			shares(0.8, 1.1, "a decelerometer with the wheels locked, on closed ground")))...)
}

func brakeKeys(name string, of func(*Scenario, int) *sim.Brake, pistonsOf func(*Scenario, int) *pistons) []key {
	area, diameter, count := name+".piston_area", name+".piston_diameter", name+".pistons"
	rubbing := func(s *Scenario, i int) bool { return of(s, i).ShoeFactor == 0 || !of(s, i).Kind.IsDrum() }
	drum := func(s *Scenario, i int) bool { return of(s, i).Kind.IsDrum() }
	out := table(name, of, nil,
		field("kind", "disc, or a drum by its shoes; drum alone is leading-trailing", func(b *sim.Brake) *sim.BrakeKind { return &b.Kind }, words(sim.BrakeDisc, sim.BrakeLeadingTrailing, sim.BrakeTwoLeading, sim.BrakeDuoServo, sim.BrakeDrum),
			found("take a wheel off and look; how the shoes are anchored tells the drums apart")),
		field("piston_area", "on one side of one caliper, or one piston of a wheel cylinder", func(b *sim.Brake) *si.Area { return &b.PistonArea }, estimate, instead(diameter, count),
			shares(0.6, 1.5, "a calliper on the pistons of one side: the sum of their circles")))
	out = append(out, table(name, pistonsOf, nil,
		field("piston_diameter", "instead of the area", func(p *pistons) *si.Length { return &p.diameter }, another, limits(5e-3, 0.2), instead(area)),
		field("pistons", "on one side of one caliper, with their diameter", func(p *pistons) *int { return &p.count }, another, limits(1, 8), instead(area)))...)
	radius, rotor, inside := name+".radius", name+".rotor_diameter", name+".drum_diameter"
	out = append(out, table(name, pistonsOf, func(s *Scenario, i int) bool { return !of(s, i).Kind.IsDrum() },
		field("rotor_diameter", "of the disc; its effective radius is taken to be 0.4 of it (estimate)", func(p *pistons) *si.Length { return &p.rotor }, another, limits(0.1, 0.6), instead(radius, inside)))...)
	out = append(out, table(name, pistonsOf, func(s *Scenario, i int) bool { return of(s, i).Kind.IsDrum() },
		field("drum_diameter", "inside of the drum", func(p *pistons) *si.Length { return &p.drum }, another, limits(0.1, 0.6), instead(radius, rotor)))...)
	out = append(out, table(name, of, rubbing,
		field("friction", "of the pads or the linings", func(b *sim.Brake) *si.Ratio { return &b.Friction }, estimate,
			plausible(0.28, 0.45, "the letters on the edge of the lining stand for it (SAE J866); or kneepoint fit")))...)
	out = append(out, table(name, of, drum,
		field("shoe_factor", "drag force over piston force of both shoes, if it is known; else it follows from kind and friction", func(b *sim.Brake) *si.Ratio { return &b.ShoeFactor }, another, limits(0.01, 20)))...)
	return append(out, table(name, of, nil,
		field("radius", "effective radius of the disc, or the drum's", func(b *sim.Brake) *si.Length { return &b.Radius }, estimate,
			shares(0.85, 1.25, "a disc: hub centre to the middle of the pad; a drum: half its inside diameter"), instead(rotor, inside)))...)
}

func valveKeys() []key {
	car := func(s *Scenario, _ int) *sim.Car { return &s.Config.Car }
	rear := KeyValvesResidualRear
	keys := table("valves", car, nil,
		field(KeyValvesSplitPressure, "up to which the proportioning valve passes all to the rear", func(c *sim.Car) *si.Pressure { return &c.SplitPressure }, estimate,
			plausible(1e6, 4.5e6, "line gauges in front and behind: where the rear one stays back")),
		field(KeyValvesSplitSlope, "of the rear pressure beyond it; 1 for no valve", func(c *sim.Car) *si.Ratio { return &c.SplitSlope }, estimate,
			derived("0.3 for discs in front of duo-servo drums, which as a rule have a valve (common practice, no source); else 1"),
			plausible(0.2, 1, "line gauges in front and behind: rise of the rear one over that of the front one; 1 without a valve")),
		field("hold_off", "of a metering valve in the front line, 0 for none", func(c *sim.Car) *si.Pressure { return &c.HoldOff },
			plausible(0, 1.2e6, "line gauges in front and behind: what the rear has when the front begins")),
		field("residual_front", "of a residual valve in the front line, 0 for none", func(c *sim.Car) *si.Pressure { return &c.ResidualFront },
			plausible(0, 0.02e6, "a line gauge, foot off the pedal")),
		field(KeyValvesResidualRear, "of a residual valve in the rear line, 0 for none", func(c *sim.Car) *si.Pressure { return &c.ResidualRear }, instead(KeyValvesResidual),
			plausible(0, 0.1e6, "a line gauge, foot off the pedal")))
	return append(keys, table("valves", func(s *Scenario, _ int) *also { return &s.also }, nil,
		field(KeyValvesResidual, "the same as "+rear, func(a *also) *si.Pressure { return &a.residual }, another, limits(0, 1e6), instead(rear)))...)
}

func manualKeys() []key {
	return table("manual", func(s *Scenario, _ int) *Manual { return &s.Manual }, nil,
		field(KeyManualPedalRatio, "of a pedal without booster to compare with", func(m *Manual) *si.Ratio { return &m.PedalRatio }, estimate, limits(0.1, 25), found(yours)),
		field(KeyManualBore, "of its master cylinder", func(m *Manual) *si.Length { return &m.Bore }, estimate, limits(5e-3, 80e-3), found(yours)))
}

func reserveKeys() []key {
	byForce := func(s *Scenario, _ int) bool { return s.Reserve.Deceleration == 0 }
	reserve := func(s *Scenario, _ int) *Reserve { return &s.Reserve }
	keys := table("reserve", reserve, nil,
		field(KeyReserveEngine, "from the start of the stops", func(r *Reserve) *sim.EngineState { return &r.Engine }, words(sim.EngineOff, sim.EngineIdle, sim.EngineCruise), found(yours)),
		field("filled_at", "the vacuum settled to before; cruise is the overrun", func(r *Reserve) *sim.EngineState { return &r.FilledAt }, words(sim.EngineIdle, sim.EngineCruise), found(yours)))
	keys = append(keys, table("reserve", reserve, byForce,
		field(KeyReservePedal, "force of each stop, instead of its deceleration; what it gives with the engine running is what every stop asks for", func(r *Reserve) *si.Force { return &r.Pedal }, another, limits(1, hardFoot), instead(KeyReserveDeceleration)))...)
	keys = append(keys, table("reserve", reserve, func(s *Scenario, i int) bool { return !byForce(s, i) },
		field(KeyReserveDeceleration, "that each stop asks for", func(r *Reserve) *si.Acceleration { return &r.Deceleration }, estimate, limits(0.01, 20), instead(KeyReservePedal), found(yours)))...)
	return append(keys, table("reserve", reserve, nil,
		field("press", "from free to pressed", func(r *Reserve) *si.Time { return &r.Press }, limits(1e-3, hour), found(yours)),
		field("hold", "from there", func(r *Reserve) *si.Time { return &r.Hold }, limits(0, hour), found(yours)),
		field("release", "from pressed to free", func(r *Reserve) *si.Time { return &r.Release }, limits(1e-3, hour), found(yours)),
		field(KeyReservePause, "from the end of the release to the next press", func(r *Reserve) *si.Time { return &r.Pause }, limits(0, hour), found(yours)),
		field(KeyReserveStops, "how many", func(r *Reserve) *int { return &r.Stops }, limits(1, 1000), found(yours)),
		field("force_limit", "the most the pedal may need in an assisted stop", func(r *Reserve) *si.Force { return &r.ForceLimit }, limits(1, hardFoot), defaultIs("the most that FMVSS 135 allows"), found(yours)),
		field("share_limit", "the least share of the output that is the booster's in an assisted stop", func(r *Reserve) *si.Ratio { return &r.ShareLimit }, limits(0, 1), estimate, found(yours)))...)
}

func pressKeys() []key {
	return table("press", func(s *Scenario, i int) *sim.Press { return &s.Presses[i] }, nil,
		field("at", "start of the press", func(p *sim.Press) *si.Time { return &p.At }, limits(0, day), defaultIs("none")),
		field("pedal", "force; with a deceleration, the most the driver presses", func(p *sim.Press) *si.Force { return &p.Pedal }, limits(0, hardFoot), defaultIs("none; with a deceleration 500 N")),
		field("deceleration", "that the driver seeks", func(p *sim.Press) *si.Acceleration { return &p.Deceleration }, another, limits(0.01, 20)),
		field("press", "from free to pressed", func(p *sim.Press) *si.Time { return &p.Press }, derived("as in [reserve]"), limits(1e-3, hour), found(yours)),
		field("hold", "from there", func(p *sim.Press) *si.Time { return &p.Hold }, derived("as in [reserve]"), limits(0, hour), found(yours)),
		field("release", "from pressed to free", func(p *sim.Press) *si.Time { return &p.Release }, derived("as in [reserve]"), limits(1e-3, hour), found(yours)))
}

func eventKeys() []key {
	return table("event", func(s *Scenario, i int) *sim.Event { return &s.Events[i] }, nil,
		field("at", "time of the change", func(e *sim.Event) *si.Time { return &e.At }, limits(0, day), defaultIs("none")),
		field("engine", "what the engine, or the bench, does from there", func(e *sim.Event) *sim.EngineState { return &e.Engine },
			words(sim.EngineIdle, sim.EngineOverrun, sim.EngineCruise, sim.EngineSnap, sim.EngineOff), defaultIs("none")))
}

func faultKeys() []key {
	fault := func(s *Scenario, i int) *sim.Fault { return &s.Config.Faults[i] }
	measured := func(by sim.FaultMeasure) func(*Scenario, int) bool {
		return func(s *Scenario, i int) bool { return s.Config.Faults[i].Name.Measure() == by }
	}
	keys := table("fault", fault, nil,
		field("name", "of the fault", func(f *sim.Fault) *sim.FaultName { return &f.Name }, words(sim.FaultNames()...), defaultIs("none")))
	keys = append(keys, table("fault", fault, measured(sim.FaultByArea),
		field("area", "of a leak", func(f *sim.Fault) *si.Area { return &f.Area }, defaultIs("none")))...)
	keys = append(keys, table("fault", fault, measured(sim.FaultByOpen),
		field("open", "share of the full area a restriction leaves", func(f *sim.Fault) *si.Ratio { return &f.Open }, defaultIs("none")))...)
	return append(keys, table("fault", fault, measured(sim.FaultBySeverity),
		field("severity", "of any other fault", func(f *sim.Fault) *si.Ratio { return &f.Severity }, defaultIs("none")))...)
}

func readingKeys() []key {
	reading := func(s *Scenario, i int) *Reading { return &s.Readings[i] }
	keys := table("reading", reading, nil,
		field("test", "that was done", func(r *Reading) *Test { return &r.Test }, words(Tests()...), defaultIs("none")))
	rows := table("reading", reading, nil,
		field("pedal", "force held", func(r *Reading) *si.Force { return &r.Pedal }, limits(0, hardFoot), defaultIs("none")),
		field("start", "vacuum before a leak-down", func(r *Reading) *si.Vacuum { return &r.Start }, limits(0, 110e3), defaultIs("none")),
		field("lasts", "how long", func(r *Reading) *si.Time { return &r.Lasts }, limits(1e-3, hour), defaultIs("none")),
		field("drop", "vacuum lost", func(r *Reading) *si.Vacuum { return &r.Drop }, limits(0, 110e3), defaultIs("none")),
		field("vacuum", "that the booster had", func(r *Reading) *si.Vacuum { return &r.Vacuum }, limits(0, 110e3), defaultIs("none")),
		field(KeyReadingValue, "vacuum or line pressure read", func(r *Reading) *float64 { return &r.Value }, pascals, limits(-50e6, 50e6), defaultIs("none")),
		field("travel", "of the pedal, from rest or while it sinks", func(r *Reading) *si.Length { return &r.Travel }, limits(0, 1), defaultIs("none")),
		field("takes", "time until it is done", func(r *Reading) *si.Time { return &r.Takes }, limits(0, hour), defaultIs("none")),
		field(KeyReadingCount, "stops left", func(r *Reading) *int { return &r.Count }, limits(0, 1000), defaultIs("none")),
		field("answer", "whether it does", func(r *Reading) *bool { return &r.Answer }, defaultIs("none")),
		field("axle", "whose wheels are looked at", func(r *Reading) *verdict.Axle { return &r.Axle }, words(verdict.FrontAxle, verdict.RearAxle, verdict.BothAxles), another, defaultIs("any")),
		field("wait", "from stopping the engine to the first stop", func(r *Reading) *si.Time { return &r.Wait }, limits(0, day), another, defaultIs("0 s")),
		field(KeyReadingError, "half width of the gauge's error", func(r *Reading) *float64 { return &r.Error }, pascals, limits(0, 50e6), another))
	for i := range rows {
		rows[i].when = readingTakes(leaf(rows[i].path))
	}
	return append(keys, rows...)
}

func diagnoseKeys() []key {
	return table("diagnose", func(s *Scenario, _ int) *Diagnose { return &s.Diagnose }, nil,
		field("complaint", "what the driver says of the brakes", func(d *Diagnose) *Complaint { return &d.Complaint }, words(Complaints()...), another, defaultIs("none")),
		field(KeyDiagnoseTools, "that the workshop has; without it all", func(d *Diagnose) *[]Tool { return &d.Tools }, words(allTools...), another, atMost(12), defaultIs("all")))
}

func chooseKeys() []key {
	choose := func(s *Scenario, _ int) *Choose { return &s.Choose }
	byPressure := func(s *Scenario, _ int) bool { return s.Choose.LinePressure > 0 }
	keys := table("choose", choose, func(s *Scenario, i int) bool { return !byPressure(s, i) },
		field(KeyChooseDeceleration, "that must be reached", func(c *Choose) *si.Acceleration { return &c.Deceleration }, limits(0.01, 20), instead(KeyChooseLinePressure), estimate, found(yours)))
	keys = append(keys, table("choose", choose, byPressure,
		field(KeyChooseLinePressure, "that must be reached, instead of a deceleration", func(c *Choose) *si.Pressure { return &c.LinePressure }, another, limits(1e3, 50e6), instead(KeyChooseDeceleration)))...)
	keys = append(keys, table("choose", choose, nil,
		field(KeyChoosePedalLimit, "the most the pedal may need with the engine idling, in an ordinary stop", func(c *Choose) *si.Force { return &c.PedalLimit }, limits(1, hardFoot), estimate, found(yours)),
		field("dead_limit", "the most the pedal may need in a stop that counts with the engine dead", func(c *Choose) *si.Force { return &c.DeadLimit }, limits(1, hardFoot), estimate, found(yours)),
		field(KeyChooseStopsLeft, "with the engine dead, each within dead_limit", func(c *Choose) *int { return &c.StopsLeft }, limits(0, 1000), estimate, found(yours)),
		field("recharge_limit", "to be back after a stop", func(c *Choose) *si.Time { return &c.RechargeLimit }, limits(1e-3, hour), estimate, found(yours)),
		field("travel_limit", "of the pedal", func(c *Choose) *si.Length { return &c.TravelLimit }, limits(1e-3, 1), estimate, found(yours)))...)
	keys = append(keys, table("choose", choose, func(s *Scenario, _ int) bool { return s.Choose.MaxDiameter > 0 },
		field(KeyChooseMaxDiameter, "of the room for the booster", func(c *Choose) *si.Length { return &c.MaxDiameter }, another, limits(20e-3, 2), defaultIs("no limit")))...)
	keys = append(keys, table("choose", choose, func(s *Scenario, _ int) bool { return s.Choose.MaxDepth > 0 },
		field("max_depth", "of the room from the firewall forward (a size's depth is an estimate)", func(c *Choose) *si.Length { return &c.MaxDepth }, another, limits(20e-3, 2), defaultIs("no limit")))...)
	return append(keys, table("choose", choose, nil,
		field(KeyChooseBoosters, "sizes to choose from; the usual ones have the one that is there among them", func(c *Choose) *[]BoosterSize { return &c.Boosters }, found(yours)),
		field(KeyChooseReservoirs, "tanks to choose from, 0 for none; the usual ones are none smaller than the one that is there", func(c *Choose) *[]si.Volume { return &c.Reservoirs }, limits(0, 0.1), found(yours)),
		field("pumps", "with and without an electric pump", func(c *Choose) *[]bool { return &c.Pumps }, found(yours)),
		field(KeyChooseBores, "master cylinders to choose from; the usual ones have the one that is there among them", func(c *Choose) *[]si.Length { return &c.Bores }, limits(5e-3, 80e-3), found(yours)),
		field(KeyChooseManualRatios, "pedal ratios for a pedal without booster", func(c *Choose) *[]si.Ratio { return &c.ManualRatios }, limits(0.1, 25), derived("the pedal that is there, and that of [manual]"), found(yours)))...)
}

func fitKeys() []key {
	return table("fit", func(s *Scenario, _ int) *Fit { return &s.Fit }, nil,
		field(KeyFitFind, "unknowns that a log is to give: keys, faults, what a gauge does such as "+VacuumOffset+" or "+VacuumDelay, func(f *Fit) *[]string { return &f.Find }, another, atMost(12)),
		field(KeyFitEngine, "what the engine, or the bench, does where the log begins", func(f *Fit) *sim.EngineState { return &f.Engine },
			derived("off, or idle where there is an [[event]]"), words(sim.EngineOff, sim.EngineIdle, sim.EngineOverrun, sim.EngineCruise),
			found("note what the engine did when the log began")))
}
