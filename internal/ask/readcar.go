package ask

import (
	"strings"

	"kneepoint/internal/pattern"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const wantWeight = `a weight from 700 lb to 12000 lb with its unit, and the front wheels' share if it is known, e.g. "3300 lb, 55 % front" or "1900 lb front, 1500 lb rear"`

var (
	sharePattern = pattern.Lazy(`(?i)(\d+(?:\.\d+)?)\s*%\s*(front|rear|back)?`)
	massUnit     = pattern.Lazy(`(?i)\b(?:lb|kg|t|tonnes?)\b`)
	pairShare    = pattern.Lazy(`\b(\d{2})\s*/\s*(\d{2})\b`)
	frontWeight  = pattern.Lazy(`(?i)([\d.]+\s*(?:lb|kg|t)?)\s*(?:on (?:the )?)?front|front\w*\s*(?:axle|wheels?)?\s*:?\s*([\d.]+\s*(?:lb|kg|t)?)`)
	weightWords  = pattern.Lazy(`(?i)\b(?:front|rear|on|the|with|of|driver|and)\b`)
	heightWords  = pattern.Lazy(`(?i)\b(?:high|above|up|altitude|elevation|sea|level)\b`)
	rearWeight   = pattern.Lazy(`(?i)([\d.]+\s*(?:lb|kg|t)?)\s*(?:on (?:the )?)?(?:rear|back)|(?:rear|back)\w*\s*(?:axle|wheels?)?\s*:?\s*([\d.]+\s*(?:lb|kg|t)?)`)
)

// readWeight reads a weight with the share of it on the front wheels, as a share or as
// what a scale shows under each axle.
func readWeight(text string) ([]entry, error) {
	read := plain(text)
	fail := func() ([]entry, error) { return nil, slip(text, wantWeight) }
	share := span{}
	switch {
	case sharePattern().MatchString(read):
		m := sharePattern().FindStringSubmatch(read)
		v, err := si.Parse(si.DimRatio, m[1]+" %")
		if err != nil {
			return fail()
		}
		if rear := strings.ToLower(m[2]); rear == "rear" || rear == "back" {
			v = 1 - v
		}
		share, read = exactly(v), sharePattern().ReplaceAllString(read, "")
	case pairShare().MatchString(read):
		v, _ := si.Parse(si.DimRatio, pairShare().FindStringSubmatch(read)[1]+" %")
		share, read = exactly(v), pairShare().ReplaceAllString(read, "")
	}
	unit := poundsOrKilograms
	if m := massUnit().FindString(read); m != "" {
		unit = always(strings.ToLower(m)) // one unit is enough for both
	}
	front, rear := axleWeight(frontWeight, read, unit), axleWeight(rearWeight, read, unit)
	var mass span
	switch {
	case front > 0 && rear > 0 && share == span{}:
		mass, share = exactly(front+rear), exactly(front/(front+rear))
	default:
		read = strings.Trim(weightWords().ReplaceAllString(read, " "), " ,;")
		var err error
		mass, err = quantity(si.DimMass, strings.Join(strings.Fields(read), " "), poundsOrKilograms, 0, 1e5, wantWeight)
		if err != nil {
			return fail()
		}
	}
	if mass.low < 700*si.Pound || mass.high > 12000*si.Pound {
		return fail()
	}
	out := []entry{measured(scenario.KeyCarMass, si.DimMass, mass, text)}
	if share != (span{}) {
		if share.low < 0.2 || share.high > 0.8 {
			return nil, slip(text, `a share from 20 % to 80 %; `+wantWeight)
		}
		out = append(out, measured(scenario.KeyCarFrontShare, si.DimRatio, share, text))
	}
	return out, nil
}

func axleWeight(said pattern.Pattern, text string, unit func(float64) string) float64 {
	m := said().FindStringSubmatch(text)
	if m == nil {
		return 0
	}
	part := m[1] + m[2]
	v, err := one(si.DimMass, strings.TrimSpace(part), unit)
	if err != nil {
		return 0
	}
	return v
}

// poundsOrKilograms tells by size where one of the two makes no car: no bare 3300 is in
// kilograms, no bare 900 in pounds; between them it has to be said.
func poundsOrKilograms(bare float64) string {
	switch {
	case bare >= 2400:
		return "lb"
	case bare < 1200:
		return "kg"
	}
	return ""
}

const wantAltitude = `a height with its unit, up to 20000 ft, e.g. "1200 ft", "400 m" or "sea level"`

func readAltitude(path string) func(string) ([]entry, error) {
	return func(text string) ([]entry, error) {
		lower := strings.ToLower(strings.TrimSpace(text))
		if strings.Contains(lower, "sea level") || lower == "0" || lower == "coast" {
			return []entry{measured(path, si.DimLength, exactly(0), text)}, nil
		}
		s, err := quantity(si.DimLength, heightWords().ReplaceAllString(text, ""), func(v float64) string {
			if v > 6000 { // no road is so many metres high
				return "ft"
			}
			return ""
		}, -450, 20000*si.Foot, wantAltitude)
		if err != nil {
			return nil, slip(text, wantAltitude)
		}
		return []entry{measured(path, si.DimLength, s, text)}, nil
	}
}

// passKey stands for the height of the pass, which no key of a scenario holds: it is a
// place where the car goes and no property of it.
const passKey = "pass"

func readPass(text string) ([]entry, error) {
	if noneWords().MatchString(strings.TrimSpace(text)) || strings.Contains(strings.ToLower(text), "flat") {
		return []entry{word(passKey, "none")}, nil
	}
	return readAltitude(passKey)(text)
}

const wantWish = `one or more of "lighter pedal", "more stops with the engine dead", "no booster", "room for 9 in" and "nothing", with commas between`

// What the wishes ask of a choice (estimates).
const (
	lighterPedal = "40 lbf"
	moreStops    = "4"
)

// wishEnds is what stands between one wish and the next.
var wishEnds = pattern.Lazy(`[,;&+]|\b(?:and|with|plus|but)\b`)

var roomPattern = pattern.Lazy(`(?i)(?:room|space|fits?|at most|max(?:imum)?|up to|no (?:larger|bigger|wider) than)\D*(\d+(?:\.\d+)?\s*(?:in|mm|cm)?)`)

func readWish(text string) ([]entry, error) {
	var out []entry
	for _, part := range wishEnds().Split(strings.ToLower(plain(text)), -1) {
		part = strings.TrimSpace(part)
		if m := roomPattern().FindStringSubmatch(part); m != nil {
			v, err := one(si.DimLength, strings.TrimSpace(m[1]), inchesOrMillimetres)
			if err != nil || v < 5*si.Inch || v > 14*si.Inch {
				return nil, slip(text, "room for a booster from 5 in to 14 in; "+wantWish)
			}
			out = append(out, measured(scenario.KeyChooseMaxDiameter, si.DimLength, exactly(v), text))
			continue
		}
		switch {
		case strings.Contains(part, "no booster") || strings.Contains(part, "without booster") || strings.Contains(part, "manual"):
			out = append(out, word(scenario.KeyChooseBoosters, `["none"]`))
		case strings.Contains(part, "stop") || strings.Contains(part, "dead"):
			out = append(out, word(scenario.KeyChooseStopsLeft, moreStops))
		case strings.Contains(part, "light") || strings.Contains(part, "eas") || strings.Contains(part, "soft") || strings.Contains(part, "hard pedal") || strings.Contains(part, "less force"):
			out = append(out, word(scenario.KeyChoosePedalLimit, lighterPedal))
		case part == "" || noneWords().MatchString(part):
		default:
			return nil, slip(text, wantWish)
		}
	}
	return out, nil
}
