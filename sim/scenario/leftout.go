package scenario

import (
	"slices"
	"strings"

	"kneepoint/sim/si"
)

// usualUnits are those in which a number without one may have been meant, by dimension.
var usualUnits = map[si.Dimension][]string{
	si.DimLength:       {"in", "mm", "cm", "m"},
	si.DimVacuum:       {"inHg", "kPa", "mbar", "mmHg"},
	si.DimPressure:     {"psi", "bar", "kPa", "MPa"},
	si.DimForce:        {"lbf", "N"},
	si.DimVolume:       {"L", "in3", "cm3", "gal"},
	si.DimMass:         {"lb", "kg"},
	si.DimAcceleration: {"g", "m/s2"},
	si.DimTime:         {"s", "ms"},
	si.DimRotation:     {"rpm"},
	si.DimVolumeFlow:   {"L/min", "cfm"},
	si.DimTemperature:  {"°F", "°C"},
}

// stretch is how far beyond its plausible range a value still makes sense.
const stretch = 1.5

// A partSize is what a part comes in (common practice, no source), and the units that
// people give it in; those of its dimension if there are none.
type partSize struct {
	Range
	units []string
}

var (
	ruler  = []string{"in", "mm", "m"}
	height = []string{"ft", "m"}

	rotorSize  = partSize{Range{0.15, 0.45}, ruler}
	wholeSize  = partSize{Range{0.07, 0.45}, ruler}
	pistonSize = partSize{Range{0.4 * si.Inch, 4 * si.Inch}, ruler}
	boreSize   = partSize{Range{0.5 * si.Inch, 1.6 * si.Inch}, ruler}
	shellSize  = partSize{Range{5 * si.Inch, 14 * si.Inch}, nil}
	vacuumSize = partSize{Range{6 * si.InchOfMercury, 24 * si.InchOfMercury}, nil}
)

// partSizes are for keys whose default on one car says too little. A radius may be the
// diameter that was measured: wholeNotHalf asks about it.
var partSizes = map[string]partSize{
	KeyBoosterDiameter: shellSize, KeyChooseMaxDiameter: shellSize,
	KeySourceVacuum: vacuumSize, KeySourceVacuumInNeutral: vacuumSize,
	KeyMasterBore: boreSize, KeyChooseBores: boreSize, KeyManualBore: boreSize,
	KeyCarMass:          {Range{600, 3200}, nil},
	KeyCarTyreRadius:    {Range{0.2, 1.1}, ruler},
	KeyCarTyreDiameter:  {Range{0.4, 1.1}, ruler},
	KeyBrakeFrontRadius: wholeSize, KeyBrakeRearRadius: wholeSize,
	KeyBrakeFrontRotorDiameter: rotorSize, KeyBrakeRearRotorDiameter: rotorSize,
	KeyBrakeFrontDrumDiameter: rotorSize, KeyBrakeRearDrumDiameter: rotorSize,
	KeyBrakeFrontPistonDiameter: pistonSize, KeyBrakeRearPistonDiameter: pistonSize,
	KeyCamLift:          {Range{5e-3, 22e-3}, ruler},
	KeyChooseReservoirs: {Range{0.6 * si.Litre, 6 * si.Litre}, nil},
	KeyAmbientAltitude:  {Range{-500, 7000}, height},
	KeySourceMeasuredAt: {Range{-500, 7000}, height},
}

// units returns those in which a number without one may have been meant for the key.
func (k *key) units() []string {
	if size, ok := partSizes[k.path]; ok && size.units != nil {
		return size.units
	}
	if units := usualUnits[k.dim]; units != nil {
		return units
	}
	return []string{k.dim.Unit(si.SI).Name}
}

// unitsFor returns the units in which all of the numbers make sense.
func (k *key) unitsFor(numbers []string) []string {
	r, ok := k.sensible()
	if !ok {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(k.units()), func(unit string) bool {
		return slices.ContainsFunc(numbers, func(n string) bool {
			v, err := si.Parse(k.dim, n+" "+unit)
			return err != nil || !r.Around(v)
		})
	})
}

// sensible is the range in which the key's values lie on cars, where one is known. It is
// known only once all keys are.
func (k *key) sensible() (Range, bool) {
	if size, ok := partSizes[k.path]; ok {
		return size.Range, true
	}
	if k.around == nil || k.path == "" {
		return Range{}, false
	}
	v, ok := k.numbers(k.at(blank(k, 0), 0))
	if !ok || len(v) != 1 {
		v = []float64{0}
	}
	r := k.around(v[0])
	return Range{r.Low / stretch, r.High * stretch}, r.High > r.Low && r.Low >= 0
}

// choiceMeant returns the word of the key that another stands for.
func (k *key) choiceMeant(text string) (string, bool) {
	word := strings.ToLower(strings.TrimSpace(text))
	if meant, ok := choiceWords[word]; ok {
		word = meant
	}
	return word, word != text && slices.Contains(k.choices, word)
}

var choiceWords = map[string]string{
	"discs": "disc", "disk": "disc", "disks": "disc", "disc brake": "disc", "disc brakes": "disc", "disk brakes": "disc",
	"drums": "drum", "drum brake": "drum", "drum brakes": "drum",
	"leading trailing": "leading-trailing", "duo servo": "duo-servo", "two leading": "two-leading", "twin leading": "two-leading",
	"manual": "none", "no booster": "none", "tandem": "dual", "idling": "idle",
}
