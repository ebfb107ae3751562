package ask

import (
	"strings"

	"kneepoint/internal/pattern"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

const wantPedal = `two lengths, e.g. "12 in and 3 in", or a ratio from 1.5 to 10, e.g. "4:1"`

var (
	ratioPattern  = pattern.Lazy(`^(?i)(?:ratio(?: of)?\s*)?(\d+(?:\.\d+)?)\s*(?::|to)\s*1(?:\s*ratio)?$`)
	lengthPattern = pattern.Lazy(`(?i)(\d+[ -]\d+/\d+|\d+/\d+|\d*\.?\d+)\s*(in\b|mm\b|cm\b)?`)
)

// readPedal reads a ratio, or the two lengths whose quotient it is.
func readPedal(text string) ([]entry, error) {
	read := plain(text)
	ratio := func(s span) ([]entry, error) {
		if s.low < 1.5 || s.high > 10 {
			return nil, slip(text, wantPedal)
		}
		return []entry{{path: scenario.KeyPedalRatio, value: s.text(si.DimRatio, si.US), dim: si.DimRatio, span: s}}, nil
	}
	if m := ratioPattern().FindStringSubmatch(read); m != nil {
		v, err := si.Parse(si.DimRatio, m[1])
		if err != nil {
			return nil, slip(text, wantPedal)
		}
		return ratio(exactly(v))
	}
	found := lengthPattern().FindAllStringSubmatch(strings.ReplaceAll(read, ":1", ""), -1)
	var lengths []float64
	unit := ""
	for _, m := range found {
		unit = strings.ToLower(m[2]) + unit[len(unit)*min(1, len(m[2])):]
	}
	for _, m := range found {
		u := m[2]
		if u == "" {
			u = unit
		}
		v, err := one(si.DimLength, strings.TrimSpace(m[1]+" "+u), always("in"))
		if err != nil || v <= 0 {
			return nil, slip(text, wantPedal)
		}
		lengths = append(lengths, v)
	}
	switch {
	case len(lengths) == 1 && unit == "":
		return ratio(exactly(lengths[0] / si.Inch))
	case len(lengths) == 2 && unit == "" && orWords().MatchString(read) && max(lengths[0], lengths[1]) <= 8*si.Inch:
		return ratio(span{min(lengths[0], lengths[1]) / si.Inch, max(lengths[0], lengths[1]) / si.Inch})
	case len(lengths) == 2:
		return ratio(exactly(max(lengths[0], lengths[1]) / min(lengths[0], lengths[1])))
	}
	return nil, slip(text, wantPedal)
}

const wantBore = `a bore from 1/2 in to 2 in, e.g. "1 in", "15/16" or "24 mm"`

func readBore(text string) ([]entry, error) {
	s, err := quantity(si.DimLength, text, inchesOrMillimetresOf(2.1), 0.5*si.Inch, 2*si.Inch, wantBore)
	if err != nil {
		return nil, err
	}
	return []entry{measured(scenario.KeyMasterBore, si.DimLength, s, text)}, nil
}

// inchesOrMillimetresOf tells by size where the largest there is in inches is known.
func inchesOrMillimetresOf(most float64) func(float64) string {
	return func(bare float64) string {
		if bare <= most {
			return "in"
		}
		return "mm"
	}
}
