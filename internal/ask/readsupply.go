package ask

import (
	"strings"

	"kneepoint/internal/pattern"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const wantVacuum = `a vacuum of at most 29.8 inHg, all the air there is, e.g. "11 inHg" or "9-12"`

// likeNeutral is the answer of a car with a manual gearbox, which has no other reading.
const likeNeutral = "same"

// readVacuum reads a gauge. A bare number from 1 to 30 can only be inches of mercury, and
// so can one with psi behind it that no vacuum reaches.
func readVacuum(text string) ([]entry, error) {
	lower := strings.ToLower(text)
	if strings.Contains(lower, likeNeutral) || strings.Contains(lower, "manual") || strings.Contains(lower, "stick") {
		return []entry{word(likeNeutral, "")}, nil
	}
	bare := func(v float64) string {
		if v >= 1 && v <= 30 {
			return "inHg"
		}
		return ""
	}
	want := wantVacuum
	if strings.Contains(lower, "psi") {
		want = "less than 14.7 psi, all the air there is; a vacuum gauge has inHg on its face"
	}
	// On a vacuum gauge inches are those of mercury.
	read := lastInches().ReplaceAllString(text, " inHg")
	s, err := quantity(si.DimVacuum, read, bare, 0, 101e3, want)
	if err != nil {
		return nil, slip(text, want)
	}
	return []entry{measured(scenario.KeySourceVacuum, si.DimVacuum, s, text)}, nil
}

var (
	lastInches  = pattern.Lazy(`(?:"|″|”|\bin(?:ch(?:es)?)?\.?)\s*$`)
	noneWords   = pattern.Lazy(`(?i)^(?:none|no|nothing|neither|no booster|manual(?: brakes)?|without)$`)
	dualWords   = pattern.Lazy(`(?i)\b(?:dual|double|tandem|twin)\b`)
	sizePattern = pattern.Lazy(`(?i)(\d+(?:\.\d+)?)\s*(in\b|mm\b|cm\b)?`)
	orWords     = pattern.Lazy(`(?i)\d\s*(?:in|mm)?\s*(?:-|–|to|or)\s*\d`)
)

const wantBooster = `a diameter from 5 in to 14 in, two for a dual one, e.g. "9 in", "8 in dual", "8 + 9" or "none"`

// readBooster reads the size of a shell, or of two.
func readBooster(text string) ([]entry, error) {
	text = strings.TrimSpace(text)
	if noneWords().MatchString(text) {
		return []entry{word(scenario.KeyBoosterKind, "none")}, nil
	}
	var sizes []float64
	read := plain(text)
	for _, m := range sizePattern().FindAllStringSubmatch(read, -1) {
		v, err := one(si.DimLength, strings.TrimSpace(m[1]+" "+m[2]), inchesOrMillimetres)
		if err != nil {
			return nil, slip(text, wantBooster)
		}
		sizes = append(sizes, v)
	}
	for _, v := range sizes {
		if v < 5*si.Inch || v > 14*si.Inch {
			return nil, slip(text, wantBooster)
		}
	}
	u := systemOf(text)
	size := func(v float64) string { return si.FormatFine(si.DimLength, v, u) }
	switch {
	case len(sizes) == 1 && dualWords().MatchString(text):
		return []entry{word(scenario.KeyBoosterDiameter, `["`+size(sizes[0])+`", "`+size(sizes[0])+`"]`)}, nil
	case len(sizes) == 1:
		return []entry{measured(scenario.KeyBoosterDiameter, si.DimLength, exactly(sizes[0]), text)}, nil
	case len(sizes) == 2 && orWords().MatchString(read) && !dualWords().MatchString(text):
		return []entry{measured(scenario.KeyBoosterDiameter, si.DimLength, span{min(sizes[0], sizes[1]), max(sizes[0], sizes[1])}, text)}, nil
	case len(sizes) == 2:
		return []entry{word(scenario.KeyBoosterDiameter, `["`+size(sizes[0])+`", "`+size(sizes[1])+`"]`)}, nil
	}
	return nil, slip(text, wantBooster)
}

const wantTank = `"none", "pump", or a tank with its volume, e.g. "2 L tank" or "2 L tank and pump"`

var volumePattern = pattern.Lazy(`(?i)(\d+(?:\.\d+)?)\s*(L|gal|qt|in3|cu in|cc|cm3|ml)\b`)

// readTankOrPump reads what is fitted beside the booster.
func readTankOrPump(text string) ([]entry, error) {
	text = strings.TrimSpace(text)
	if noneWords().MatchString(text) {
		return []entry{word(noTank, "")}, nil
	}
	lower := strings.ToLower(text)
	var out []entry
	if strings.Contains(lower, "pump") && !strings.Contains(lower, "no pump") {
		out = append(out, entry{path: scenario.KeyPumpFreeFlow, value: "", usual: true})
	}
	if m := volumePattern().FindString(plain(text)); m != "" {
		v, err := si.Parse(si.DimVolume, m)
		if err != nil || v < 0.1*si.Litre || v > 40*si.Litre {
			return nil, slip(text, wantTank)
		}
		out = append(out, entry{path: scenario.KeyReservoirVolume, value: exactly(v).text(si.DimVolume, si.SI), dim: si.DimVolume, span: exactly(v)})
	} else if strings.Contains(lower, "tank") || strings.Contains(lower, "reservoir") || strings.Contains(lower, "can") {
		if !strings.Contains(lower, "no tank") {
			return nil, slip(text, `the tank's volume too, e.g. "2 L tank": without it a tank says little`)
		}
	}
	if len(out) == 0 {
		return nil, slip(text, wantTank)
	}
	return out, nil
}

// noTank is the entry of a car that has neither tank nor pump.
const noTank = "none"
