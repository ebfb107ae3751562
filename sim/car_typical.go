package sim

import (
	"math"

	"kneepoint/internal/physics"
	"kneepoint/sim/si"
)

// Typical returns a complete car: a V8 of the classic years with discs in front,
// duo-servo drums behind, a dual master cylinder and a 10 in booster. Every figure
// in it is an estimate; that such cars had brakes of these kinds, and a proportioning
// valve with them, is common practice, no source. The valve splits low enough for the
// front axle to lock first over all that is said of duo-servo brakes, on a dry road.
func Typical() Config {
	c := Config{
		Ambient: Ambient{Pressure: physics.SeaLevelPressure, Temperature: 293.15},
		Source: Source{
			Kind:           SourceEngine,
			Vacuum:         18 * inHg,
			InGear:         true,
			IdleSpeed:      750.0 / 60,
			OverrunSpeed:   2500.0 / 60,
			Displacement:   5.7e-3,
			Compression:    9,
			ManifoldVolume: 5.7e-3,
		},
		Hose:      Hose{Area: 18e-6, Volume: 0.1e-3},
		Reservoir: Reservoir{Place: PlaceEngineSide, InletValve: true},
		Pedal:     Pedal{Ratio: 4, Efficiency: 1},
		Master: Master{
			Bore:       0.0254,
			Circuits:   MasterDual,
			Stroke:     36e-3,
			Spring:     80,
			SpringRate: 2e3,
			Friction:   30,
		},
		Front: Circuit{TakeUp: 1.2e-6, Compliance: 0.32e-12, Hoses: HosesRubber},
		Rear:  Circuit{TakeUp: 0.8e-6, Compliance: 0.20e-12, Hoses: HosesRubber},
		Car: Car{
			Mass:            1600,
			FrontBrake:      Brake{Kind: BrakeDisc, PistonArea: 33e-4, Friction: 0.35, Radius: 0.112},
			RearBrake:       Brake{Kind: BrakeDuoServo, PistonArea: 3.3e-4, Friction: 0.35, Radius: 0.114},
			TyreRadius:      0.32,
			Adhesion:        0.9,
			SlidingAdhesion: SlidingOf(0.9),
			Wheelbase:       2.75,
			CentreHeight:    0.53,
			FrontShare:      0.54,
			SplitPressure:   2e6,
			SplitSlope:      0.3,
		},
	}
	c.Booster = BoosterOf(0.254)
	c.Source.MeasuredPressure = c.Ambient.Pressure
	return c
}

// usualStroke is how far a hub travels (estimate).
const usualStroke si.Length = 38e-3

const inHg = si.Vacuum(si.InchOfMercury)

// BoosterOf returns a booster with shells of the given diameters, one for a
// single and two for a tandem; its other figures are estimates. The effective
// area is less than the shell's circle because the diaphragm rolls: 0.92 of it
// in a single, 0.96 in a tandem. The volumes go with the area.
func BoosterOf(diameters ...si.Length) Booster {
	b := Booster{
		Kind:        BoosterVacuum,
		Diameters:   diameters,
		Ratio:       5,
		JumpIn:      600,
		CutIn:       80,
		Spring:      110,
		SpringRate:  2.5e3,
		Friction:    10,
		TailArea:    1.1e-3,
		Stroke:      usualStroke,
		FreePlay:    0.5e-3,
		AirValve:    55e-6,
		VacuumValve: 45e-6,
		Filter:      200e-6,
	}
	share := 0.92
	if len(diameters) > 1 {
		share = 0.96
	}
	for _, d := range diameters {
		b.Area += si.Area(share * math.Pi / 4 * float64(d) * float64(d))
	}
	b.Area = neat(b.Area, squareCentimetre, 10)
	b.FrontVolume, b.RearVolume = VolumesOf(b.Area, b.Stroke)
	return b
}

// VolumesOf returns the volumes of the two chambers of a booster with the given
// effective area and stroke of the hub. They are those of the one booster for which
// measured volumes were found published, 2.4 L in front and 0.43 L behind for
// 533 cm² (report UCB-ITS-PRR-97-21, published text), in proportion to the area: one
// booster scaled, so an estimate. A hub that travels further than the usual stroke
// needs a front chamber that much deeper.
func VolumesOf(area si.Area, stroke si.Length) (front, rear si.Volume) {
	const (
		measuredArea  si.Area   = 533e-4
		measuredFront si.Volume = 2.4e-3
		measuredRear  si.Volume = 0.43e-3
	)
	scale := float64(area / measuredArea)
	longer := max(0, stroke-usualStroke)
	front = si.Volume(scale)*measuredFront + si.Volume(float64(area)*float64(longer))
	return neatVolume(front), neatVolume(si.Volume(scale) * measuredRear)
}

// RoomyVolumesOf returns the volumes that a booster has whose shells enclose all the
// room that their outlines suggest, with nothing stamped in: those guessed for a 10 in
// single of 466 cm², 3.6 L and 0.6 L, in proportion to the area (estimate, no
// source). Boosters without measured volumes lie between these and [VolumesOf]'s.
func RoomyVolumesOf(area si.Area) (front, rear si.Volume) {
	const guessedArea = 466e-4
	scale := si.Volume(area / guessedArea)
	return neatVolume(3.6e-3 * scale), neatVolume(0.6e-3 * scale)
}

const (
	millimetre       = 1e-3
	squareCentimetre = 1e-4
)

// neatVolume rounds to 1 cm³, in the unit that it is printed in.
func neatVolume(v si.Volume) si.Volume {
	if v < 0.1*si.Litre {
		return neat(v, 1e-6, 1)
	}
	return neat(v, si.Litre, 1000)
}

// neat rounds an estimate to 1/parts of a unit, so that it is written with no more
// digits than it deserves: the product is that of the text's number and its unit.
func neat[T si.Quantity](v T, unit, parts float64) T {
	return T(math.Round(float64(v)/unit*parts) / parts * unit)
}
