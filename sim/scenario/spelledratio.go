package scenario

import (
	"fmt"
	"math"
	"strings"

	"kneepoint/internal/pattern"
	"kneepoint/sim/si"
)

var (
	toOne  = pattern.Lazy(`(?i)^([0-9.,]+)\s*to\s*1$`)
	shared = pattern.Lazy(`^(\d{1,2}(?:\.\d+)?)\s*/\s*(\d{1,2}(?:\.\d+)?)\s*%?$`)
)

// spelledRatio brings "4 to 1", "5-6", two lengths with a slash between, and percent
// without their sign to the form that a ratio is read in.
func (k *key) spelledRatio(v value) (out value, note string) {
	if v.kind != textValue && v.kind != numberValue {
		return v, ""
	}
	text := strings.TrimSpace(v.text)
	as := func(text string) value { return value{kind: textValue, text: text, bare: v.bare} }
	if k.path == KeyCarFrontShare {
		if m := shared().FindStringSubmatch(text); m != nil {
			front, err := si.Parse(si.DimNone, m[1])
			rear, errRear := si.Parse(si.DimNone, m[2])
			if err == nil && errRear == nil && front+rear == 100 {
				return as(m[1] + " %"), ""
			}
		}
		if n, err := si.Parse(si.DimNone, text); err == nil && n > 1 && n < 100 {
			with := text + " %"
			return as(with), unitNote(tomlText(with))
		}
	}
	if v.kind != textValue {
		return v, ""
	}
	if m := toOne().FindStringSubmatch(text); m != nil {
		return as(m[1] + ":1"), ""
	}
	if first, second, ok := strings.Cut(text, "/"); ok {
		a, err := si.Parse(si.DimLength, strings.TrimSpace(first))
		b, errB := si.Parse(si.DimLength, strings.TrimSpace(second))
		if err == nil && errB == nil && b > 0 {
			return as(si.FormatFine(si.DimRatio, a/b, si.SI)), ""
		}
	}
	if _, _, err := si.ParseSpread(si.DimRatio, text); err == nil {
		return v, ""
	}
	if low, high, err := si.ParseRange(si.DimRatio, text); err == nil && !math.IsInf(low, 0) && !math.IsInf(high, 0) {
		return as(fmt.Sprintf("%.6g ± %.6g", (low+high)/2, (high-low)/2)), ""
	}
	return v, ""
}
