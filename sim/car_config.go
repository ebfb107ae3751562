package sim

import "kneepoint/sim/si"

// A Config says everything the model needs to know of one car. Its zero value
// is not valid; Typical returns a complete one, and Check says what is wrong
// with one.
type Config struct {
	Ambient   Ambient
	Source    Source
	Pump      Pump
	Booster   Booster
	Hose      Hose
	Reservoir Reservoir
	Pedal     Pedal
	Master    Master
	Front     Circuit
	Rear      Circuit
	Car       Car
	Faults    []Fault
}

// Ambient is the air around the car.
type Ambient struct {
	// Pressure is the absolute air pressure.
	Pressure si.Pressure
	// Temperature is that of the air and of every wall.
	Temperature si.Temperature
}

// SourceKind says where the vacuum comes from.
type SourceKind string

// The sources there are.
const (
	// SourceBench is held at exactly its vacuum until it is shut off.
	SourceBench SourceKind = "bench"
	// SourceEngine is an intake manifold: its vacuum gives way when the booster draws.
	SourceEngine SourceKind = "engine"
)

// Source is the bench or the engine that the booster's hose is connected to.
type Source struct {
	Kind SourceKind
	// Vacuum is the bench's, or the engine's measured at idle.
	Vacuum si.Vacuum
	// MeasuredPressure is the ambient pressure where the vacuum was read. An
	// engine keeps its absolute manifold pressure elsewhere, so the vacuum
	// changes with the ambient pressure.
	MeasuredPressure si.Pressure
	// InGear says that the idle vacuum was read in gear, under load.
	InGear bool
	// The rest holds for an engine only.
	IdleSpeed      si.Rotation
	OverrunSpeed   si.Rotation
	Displacement   si.Volume
	Compression    si.Ratio
	ManifoldVolume si.Volume
}

// Pump is an electric vacuum pump with a switch of its own.
type Pump struct {
	// FreeFlow is the volume flow at ambient pressure; zero means no pump.
	FreeFlow si.VolumeFlow
	// On and Off are the vacua at which it starts and stops.
	On, Off si.Vacuum
	// EngineOff says that it goes on running when the engine is off.
	EngineOff bool
}

// BoosterKind says whether there is a booster.
type BoosterKind string

// The kinds of booster.
const (
	// BoosterVacuum is one with one diaphragm, or two in tandem as one pair of
	// chambers with the summed area and volumes.
	BoosterVacuum BoosterKind = "vacuum"
	// BoosterNone is a manual pedal: the input rod pushes the master cylinder.
	BoosterNone BoosterKind = "none"
)

// Booster is the vacuum booster with its valve and reaction disc.
type Booster struct {
	Kind BoosterKind
	// Diameters are those of the shell, one each diaphragm. They only name the size:
	// what works is Area. [BoosterOf] sets both.
	Diameters []si.Length
	// Area is the effective area of all diaphragms.
	Area si.Area
	// FrontVolume and RearVolume are those of the vacuum and the working
	// chamber at rest.
	FrontVolume, RearVolume si.Volume
	// Ratio is the boost ratio i of the reaction disc.
	Ratio si.Ratio
	// JumpIn is the output force at which the disc first pushes back.
	JumpIn si.Force
	// CutIn is the input force before anything happens: the preload of the
	// spring between plunger and hub.
	CutIn si.Force
	// Spring and SpringRate are those of the hub's return spring.
	Spring     si.Force
	SpringRate si.Stiffness
	// Friction is that of hub and seals.
	Friction si.Force
	// TailArea is the area of the hub's tail, which sees ambient.
	TailArea si.Area
	Stroke   si.Length
	// FreePlay is what the hub travels before it meets the master cylinder's piston.
	FreePlay si.Length
	// AirValve and VacuumValve are the full effective areas.
	AirValve, VacuumValve si.Area
	// Filter is the effective area of the air filter before the air valve.
	Filter si.Area
}

// Hose is the vacuum hose together with the booster's check valve.
type Hose struct {
	// Area is the effective area of both in series.
	Area   si.Area
	Volume si.Volume
}

// Place says on which side of the booster's check valve a reservoir sits.
type Place string

// The places a reservoir can have.
const (
	PlaceEngineSide  Place = "engine side"
	PlaceBoosterSide Place = "booster side"
)

// Reservoir is a vacuum tank; a volume of zero means none.
type Reservoir struct {
	Volume si.Volume
	Place  Place
	// InletValve says that it has a check valve of its own, so that the engine
	// cannot bleed it.
	InletValve bool
}

// Pedal is the lever between foot and input rod.
type Pedal struct {
	Ratio      si.Ratio
	Efficiency si.Ratio
}

// Circuits is the number of separate hydraulic circuits.
type Circuits string

// A master cylinder feeds one circuit, or two from two pistons in line.
const (
	MasterSingle Circuits = "single"
	MasterDual   Circuits = "dual"
)

// Master is the master cylinder.
type Master struct {
	Bore     si.Length
	Circuits Circuits
	// Stroke is the piston's, over both halves of a dual one.
	Stroke si.Length
	// Spring, SpringRate and Friction are those of the return springs and seals.
	Spring     si.Force
	SpringRate si.Stiffness
	Friction   si.Force
}

// Area is that of the piston.
func (m *Master) Area() si.Area { return si.Area(boreArea(float64(m.Bore))) }

// Circuit is the hydraulic behaviour of the brakes at one axle.
type Circuit struct {
	// TakeUp is the fluid that closes the clearances at almost no pressure.
	TakeUp si.Volume
	// Compliance is the fluid for each unit of pressure from there on.
	Compliance si.Compliance
	// Hoses are those that Compliance contains; empty is rubber.
	Hoses Hoses
	// Lost says that the circuit holds no pressure at all.
	Lost bool
}

// BrakeKind says what presses on what.
type BrakeKind string

// The kinds of wheel brake.
const (
	BrakeDisc BrakeKind = "disc"
	// BrakeLeadingTrailing is a drum with one wheel cylinder between two shoes on fixed
	// hinges: the rotation turns one into the drum and the other away.
	BrakeLeadingTrailing BrakeKind = "leading-trailing"
	// BrakeTwoLeading has a cylinder for each shoe, and both turn into the drum.
	BrakeTwoLeading BrakeKind = "two-leading"
	// BrakeDuoServo has shoes that float, so that the first pushes the second.
	BrakeDuoServo BrakeKind = "duo-servo"
	// BrakeDrum is another word for LeadingTrailing.
	BrakeDrum BrakeKind = "drum"
)

// Brake is the pair of wheel brakes on one axle.
type Brake struct {
	Kind BrakeKind
	// PistonArea is, for a disc, the area of the pistons on one side of one
	// caliper; for a drum, that of one piston of the wheel cylinder.
	PistonArea si.Area
	// Friction is that of the pads or the linings.
	Friction si.Ratio
	// ShoeFactor is a drum's drag force over its piston force, of both shoes
	// together, where it is known; with zero it follows from kind and friction.
	ShoeFactor si.Ratio
	// Radius is the effective radius of the disc, or the drum's.
	Radius si.Length
}

// Car is what the line pressure has to stop.
type Car struct {
	Mass       si.Mass
	FrontBrake Brake
	RearBrake  Brake
	TyreRadius si.Length
	// Adhesion is the most there is between tyre and road, SlidingAdhesion what is
	// left with the wheel locked.
	Adhesion        si.Ratio
	SlidingAdhesion si.Ratio
	Wheelbase       si.Length
	CentreHeight    si.Length
	// FrontShare is the front axle's share of the weight at rest.
	FrontShare si.Ratio
	// SplitPressure and SplitSlope are those of the proportioning valve in the
	// rear line; a slope of 1 means none.
	SplitPressure si.Pressure
	SplitSlope    si.Ratio
	// HoldOff is the pressure below which a metering valve keeps the front
	// discs idle, zero for none; from three times that it lets everything through.
	HoldOff si.Pressure
	// ResidualFront and ResidualRear are the pressures that residual valves keep at
	// the wheels, zero for none. In drums that is too little to brake; it shortens
	// the take-up. Behind discs the pads drag with it.
	ResidualFront, ResidualRear si.Pressure
}

// A Side is the part of the way from pedal to road that a fault is on.
type Side string

// The sides. A fault of the pedal itself is on none of them.
const (
	SideNone      Side = ""
	SideSupply    Side = "supply"
	SideBooster   Side = "booster"
	SideHydraulic Side = "hydraulic"
	SideWheel     Side = "wheel"
)

// A Fault is one thing wrong with the car. Leaks have an Area, restrictions the
// share Open of the full area that is left, all others a Severity from 0 to 1.
type Fault struct {
	Name     FaultName
	Area     si.Area
	Open     si.Ratio
	Severity si.Ratio
}
