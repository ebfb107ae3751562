package ask

import (
	"fmt"
	"strconv"
	"strings"

	"kneepoint/internal/pattern"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const wantBrakes = `"disc" or "drum", with the pistons if they are known, e.g. "disc, 1 piston 2.75 in", "4 piston 1.75 in" or "drum, 1 1/8 in"`

// Wheel cylinders and pistons that go with a kind where nobody measured them (estimates).
var usualPiston = map[string]struct{ drum, disc span }{
	frontAxle: {span{1 * si.Inch, 1.25 * si.Inch}, span{2.2 * si.Inch, 2.9 * si.Inch}},
	rearAxle:  {span{0.75 * si.Inch, 1 * si.Inch}, span{1.3 * si.Inch, 2 * si.Inch}},
}

var (
	countPattern  = pattern.Lazy(`(?i)(\d+|single|one|two|twin|dual|three|four|six)\s*[- ]?(?:pistons?|pots?)\b|(\d)\s*(?:x|×|\*|of)\s*\d`)
	pistonNumbers = map[string]int{"single": 1, "one": 1, "two": 2, "twin": 2, "dual": 2, "three": 3, "four": 4, "six": 6}
	pistonSize    = pattern.Lazy(`(?i)(\d+[ -]\d+/\d+|\d+/\d+|\d*\.\d+|\d+)\s*(in|mm|cm)?\b`)
)

// brakesReader reads discs or drums with their pistons for an axle.
func brakesReader(axle string) func(string) ([]entry, error) {
	prefix := "brake." + axle + "."
	return func(text string) ([]entry, error) {
		kind, rest, known := brakeKind(text)
		if !known {
			return nil, slip(text, wantBrakes)
		}
		out := []entry{word(prefix+"kind", string(kind))}
		count, rest := pistonCount(rest)
		if kind.IsDrum() {
			count = 1
		}
		m := pistonSize().FindStringSubmatch(plain(rest))
		if m == nil {
			usual := usualPiston[axle].disc
			if kind.IsDrum() {
				usual = usualPiston[axle].drum
			}
			e := measured(prefix+"piston_diameter", si.DimLength, usual, text)
			e.usual = true
			return append(out, e), nil
		}
		v, err := one(si.DimLength, strings.TrimSpace(m[1]+" "+m[2]), inchesOrMillimetresOf(5))
		if err != nil || v < 0.4*si.Inch || v > 4*si.Inch {
			return nil, slip(text, "the diameter of one piston, from 0.4 in to 4 in; "+wantBrakes)
		}
		out = append(out, measured(prefix+"piston_diameter", si.DimLength, exactly(v), text))
		if count > 1 {
			out = append(out, word(prefix+"pistons", strconv.Itoa(count)))
		}
		return out, nil
	}
}

// brakeKind finds the kind of brake that a text names, and returns the text without it.
// Drums of which no more is said are taken as duo-servo ones, as most American cars have
// them (common practice, no source).
func brakeKind(text string) (kind sim.BrakeKind, rest string, ok bool) {
	lower := strings.ToLower(text)
	for _, k := range []struct {
		pattern string
		kind    sim.BrakeKind
	}{
		{"leading-trailing", sim.BrakeLeadingTrailing}, {"leading trailing", sim.BrakeLeadingTrailing}, {"leading/trailing", sim.BrakeLeadingTrailing},
		{"two-leading", sim.BrakeTwoLeading}, {"two leading", sim.BrakeTwoLeading}, {"twin-leading", sim.BrakeTwoLeading}, {"twin leading", sim.BrakeTwoLeading},
		{"duo-servo", sim.BrakeDuoServo}, {"duo servo", sim.BrakeDuoServo}, {"drum", sim.BrakeDuoServo},
		{"disc", sim.BrakeDisc}, {"disk", sim.BrakeDisc}, {"caliper", sim.BrakeDisc}, {"rotor", sim.BrakeDisc}, {"piston", sim.BrakeDisc}, {"pot", sim.BrakeDisc},
	} {
		if strings.Contains(lower, k.pattern) {
			rest = lower
			if k.pattern != "piston" && k.pattern != "pot" {
				rest = strings.ReplaceAll(lower, k.pattern, " ")
			}
			return k.kind, rest, true
		}
	}
	return "", text, false
}

// pistonCount finds how many pistons there are on one side of one caliper, and returns
// the text without that. Four and more are on both sides (common practice, no source),
// and two where they are said to be opposed.
func pistonCount(text string) (int, string) {
	m := countPattern().FindStringSubmatchIndex(text)
	if m == nil {
		return 1, text
	}
	from, to := m[2], m[3]
	if from < 0 {
		from, to = m[4], m[5]
	}
	n, ok := pistonNumbers[text[from:to]]
	if !ok {
		n, _ = strconv.Atoi(text[from:to])
	}
	rest := text[:from] + " " + text[to:]
	opposed := strings.Contains(text, "opposed") || strings.Contains(text, "fixed")
	if !strings.Contains(text, "each side") && !strings.Contains(text, "a side") && !strings.Contains(text, "per side") && (n >= 4 || n == 2 && opposed) {
		n /= 2
	}
	return min(max(1, n), 8), pistonWords().ReplaceAllString(rest, " ")
}

var (
	pistonWords = pattern.Lazy(`(?:pistons?|pots?|[x×*]|\bof\b)`)
	discWords   = pattern.Lazy(`(?i)\b(?:discs?|disks?|drums?|rotors?|vented|solid|inside|diameter)\b`)
)

const wantDiscs = `the whole diameter, from 6 in to 18 in, e.g. "11 in" or "280 mm"; not the radius at which the pads grip`

// discs is what stands for a brake's radius until its kind is known.
const discs = "diameter"

func readDiscs(text string) ([]entry, error) {
	read := plain(discWords().ReplaceAllString(text, " "))
	s, err := quantity(si.DimLength, read, inchesOrMillimetres, 6*si.Inch, 18*si.Inch, wantDiscs)
	if err != nil {
		return nil, slip(text, wantDiscs)
	}
	return []entry{measured(discs, si.DimLength, s, text)}, nil
}

// padRoom is by how much the pads' middle may lie further in or out than is usual
// (estimate).
const padRoom = 0.2 * si.Inch

// gripping is the radius of a disc, or a drum, of a diameter.
func gripping(diameter span, drum bool) span {
	if drum {
		return span{diameter.low / 2, diameter.high / 2}
	}
	return span{float64(scenario.RotorRadius(si.Length(diameter.low))) - padRoom, float64(scenario.RotorRadius(si.Length(diameter.high))) + padRoom}
}

var tallWords = pattern.Lazy(`(?i)\b(?:tall|high|height|diameter|tyres?|tires?)\b`)

const wantTyres = `the size on the sidewall or the whole height, from 18 in to 44 in, e.g. "P205/70R14" or "26 in tall"`

func readTyres(text string) ([]entry, error) {
	var diameter span
	if d, ok := scenario.TyreDiameter(text); ok {
		diameter = exactly(float64(d))
	} else {
		var err error
		diameter, err = quantity(si.DimLength, tallWords().ReplaceAllString(text, ""), func(v float64) string {
			if v >= 18 && v <= 44 {
				return "in"
			}
			return ""
		}, 0, 3, wantTyres)
		if err != nil {
			return nil, slip(text, wantTyres)
		}
	}
	if diameter.low < 18*si.Inch || diameter.high > 44*si.Inch {
		want := wantTyres
		if diameter.high < 18*si.Inch {
			want = fmt.Sprintf("the whole height and not the radius or the rim: %s", wantTyres)
		}
		return nil, slip(text, want)
	}
	r := span{float64(scenario.RollingRadius(si.Length(diameter.low))), float64(scenario.RollingRadius(si.Length(diameter.high)))}
	return []entry{measured(scenario.KeyCarTyreRadius, si.DimLength, r, text)}, nil
}
