package scenario

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"

	"kneepoint/internal/pattern"
	"kneepoint/sim/si"
)

// spelled brings a value to the form that its key reads: a unit that was left out where
// only one makes sense, a range as its middle and half width, a tandem's sizes apart, a
// tyre's code. The note says what was taken for granted; it is empty where nothing was.
func (k *key) spelled(v value) (out value, note string) {
	switch {
	case k.path == KeyBoosterDiameter && v.kind == textValue:
		return k.spelledSizes(v)
	case k.path == KeyCarTyreRadius && v.kind == textValue:
		if r, ok := tyreRadius(v.text); ok {
			v.text = si.FormatFine(si.DimLength, float64(r), si.SI)
			return v, ""
		}
	case k.path == KeyCarTyreDiameter && v.kind == textValue:
		if d, ok := TyreDiameter(v.text); ok {
			v.text = si.FormatFine(si.DimLength, float64(d), si.SI)
			return v, ""
		}
	case k.choices != nil && v.kind == textValue:
		if word, ok := k.choiceMeant(v.text); ok {
			v.text = word
		}
		return v, ""
	case k.dim == si.DimRatio:
		return k.spelledRatio(v)
	}
	if v.kind == listValue {
		items := make([]value, len(v.items))
		for i, item := range v.items {
			var said string
			items[i], said = k.spelledOne(item)
			if said != "" {
				note = said
			}
		}
		v.items = items
		if note != "" {
			note = unitNote(v.toml())
		}
		return v, note
	}
	return k.spelledOne(v)
}

func (k *key) spelledOne(v value) (out value, note string) {
	if !k.measured() || v.kind != textValue && v.kind != numberValue {
		return v, ""
	}
	plain := strings.TrimSpace(roughly().ReplaceAllString(strings.TrimSpace(v.text), ""))
	text, note := k.withUnit(plain)
	if plain != strings.TrimSpace(v.text) && note == "" {
		note = "how far it may be off, with a ±; " + tomlText(text) + " is taken as exact"
	}
	if text == strings.TrimSpace(v.text) && v.kind == numberValue {
		return v, ""
	}
	if low, high, err := si.ParseRange(k.dim, text); err == nil && !math.IsInf(low, 0) && !math.IsInf(high, 0) && k.tolerant() {
		system := si.SystemOf(k.dim, "1 "+lastUnit().FindString(text))
		text = si.FormatFine(k.dim, (low+high)/2, system) + " ± " + differenceText(k.dim, (high-low)/2, system)
	}
	if text != v.text {
		v = value{kind: textValue, text: text, bare: v.bare}
	}
	return v, note
}

// roughly is said before a figure that nobody measured closely.
var roughly = pattern.Lazy(`(?i)^(?:about|around|approximately|approx\.?|roughly|circa|ca\.|c\.|~|≈)\s*`)

// lastUnit is what stands behind the last number of a range.
var lastUnit = pattern.Lazy(`[^\d\s.,/–—-][^\d]*$`)

// differenceText prints a half width, for which the zero of a scale does not count.
func differenceText(d si.Dimension, half float64, system si.System) string {
	u := d.Unit(system)
	return strconv.FormatFloat(half/u.Scale, 'g', 6, 64) + " " + u.Name
}

// measured reports whether the key holds quantities that need a unit.
func (k *key) measured() bool {
	if k.dim == si.DimRatio || k.dim == si.DimNone {
		return false
	}
	return k.typeOf().Kind() == reflect.Float64 || strings.HasPrefix(k.typeOf().String(), "[]si.")
}

// tolerant reports whether a range of the key can be sampled. Readings have ranges of
// their own.
func (k *key) tolerant() bool { return !inTable(k.path, "reading") }

// withUnit adds the unit to a number that has none where only one makes sense of it for
// this key, and says so.
func (k *key) withUnit(text string) (with, note string) {
	parts := []string{text}
	if a, b, ok := bareRange(text); ok {
		parts = []string{a, b}
	}
	numbers := make([]string, len(parts))
	for i, part := range parts {
		if _, err := si.Parse(si.DimNone, part); err != nil {
			return text, ""
		}
		numbers[i] = part
	}
	if len(numbers) == 1 && k.dim != si.DimTemperature {
		if v, err := si.Parse(si.DimNone, numbers[0]); err == nil && v == 0 {
			return text + " " + k.units()[0], "" // nothing is nothing in any unit
		}
	}
	fits := k.unitsFor(numbers)
	if len(fits) != 1 {
		return text, ""
	}
	with = text + " " + fits[0]
	return with, unitNote(tomlText(with))
}

// unitNote says that a value was read with a unit that it did not have.
func unitNote(read string) string {
	return "its unit; " + read + " is taken, since no other makes sense here"
}

// bareRange splits "17 to 18" or "9-12".
var bareRangePattern = pattern.Lazy(`(?i)^([0-9.,]+)\s*(?:-|–|—|to|\.\.)\s*([0-9.,]+)$`)

func bareRange(text string) (low, high string, ok bool) {
	m := bareRangePattern().FindStringSubmatch(text)
	if m == nil {
		return "", "", false
	}
	return m[1], m[2], true
}

// spelledSizes brings "8+8", "8 in x 8 in", "9 in dual" to sizes with units, joined by a plus.
func (k *key) spelledSizes(v value) (out value, note string) {
	list := strings.TrimSuffix(strings.TrimPrefix(strings.TrimSpace(v.text), "["), "]")
	var parts []string
	for _, text := range strings.Split(list, `",`) {
		text = strings.TrimSpace(text)
		if quoted, ok := strings.CutPrefix(text, `"`); ok {
			text = strings.TrimSuffix(quoted, `"`)
		}
		parts = append(parts, diameterTexts(strings.Trim(text, "'"))...)
	}
	if len(parts) == 1 {
		v.text = parts[0]
		return k.spelledOne(v)
	}
	for i, part := range parts {
		item, said := k.spelledOne(value{kind: textValue, text: part})
		parts[i] = item.text
		if said != "" {
			note = said
		}
	}
	v.text = strings.Join(parts, " + ")
	if note != "" {
		note = unitNote(tomlText(v.text))
	}
	return v, note
}

var (
	sizeJoint   = pattern.Lazy(`(?i)\s*(?:\+|&|×|\band\b|x|\bby\b)\s*`)
	dualWords   = pattern.Lazy(`(?i)[ -]*\b(?:dual|tandem|double|twin)\b(?:[ -]*diaphragms?)?`)
	singleWords = pattern.Lazy(`(?i)[ -]*\b(?:single|booster)\b(?:[ -]*diaphragms?)?`)
	// 7/8 is a bore, and as a booster two shells.
	slashedSizes = pattern.Lazy(`(?i)^([5-9]|1[0-4])\s*(["a-z.]*)\s*/\s*([5-9]|1[0-4])\s*(["a-z.]*)$`)
	unitBehind   = pattern.Lazy(`^[0-9 ./,-]+(.*)$`)
)

// diameterTexts splits the sizes of a tandem: "8 in + 9 in", "8+8", "8 x 8 in". One size
// that is called dual stands for two. A unit behind one of them is that of the other too.
func diameterTexts(text string) []string {
	if strings.Contains(text, "±") || strings.Contains(text, "+/-") {
		return []string{strings.TrimSpace(text)}
	}
	dual := dualWords().MatchString(text)
	text = strings.TrimSpace(singleWords().ReplaceAllString(dualWords().ReplaceAllString(text, ""), ""))
	if m := slashedSizes().FindStringSubmatch(text); m != nil {
		text = m[1] + m[2] + " + " + m[3] + m[4]
	}
	parts := sizeJoint().Split(text, -1)
	unit := ""
	for _, part := range parts {
		if m := unitBehind().FindStringSubmatch(part); m != nil && m[1] != "" {
			unit = m[1]
		}
	}
	for i, part := range parts {
		parts[i] = strings.TrimSpace(part)
		if m := unitBehind().FindStringSubmatch(parts[i]); m != nil && m[1] == "" && unit != "" {
			parts[i] += " " + unit
		}
	}
	if dual && len(parts) == 1 {
		parts = append(parts, parts[0])
	}
	return parts
}

// wholeNotHalf notices a figure that is twice what it should be: the height of a tyre
// given as its radius, the diameter of a disc as the radius where it grips.
func (r *resolver) wholeNotHalf() {
	for path, most := range map[string]si.Length{KeyCarTyreRadius: 0.44, KeyBrakeFrontRadius: 0.19, KeyBrakeRearRadius: 0.19} {
		set, ok := r.s.set[path]
		if !ok || r.failed[path] {
			continue
		}
		k, i, _ := keyOf(path)
		v, _ := k.numbers(k.at(r.s, i))
		if len(v) != 1 || v[0] <= float64(most) || v[0] > 4*float64(most) {
			continue
		}
		want := "half of it: that is what a tyre is high; car.tyre_diameter takes it as it is"
		if path != KeyCarTyreRadius {
			want = fmt.Sprintf("the radius at which it grips: that is what a disc or drum is across; %s.rotor_diameter or drum_diameter takes it as it is", strings.TrimSuffix(path, ".radius"))
		}
		r.fail(set.place, path, set.value.read(), want)
	}
}

// vacuumInPSI notices a vacuum in psi that was read off a gauge of inches of mercury.
func (r *resolver) vacuumInPSI() {
	for _, path := range []string{KeySourceVacuum, KeySourceVacuumInNeutral, KeyPumpOn, KeyPumpOff} {
		set, ok := r.s.set[path]
		if !ok || set.value.kind != textValue || !strings.Contains(strings.ToLower(set.value.text), "psi") {
			continue
		}
		number, err := si.Parse(si.DimNone, strings.TrimSpace(strings.Split(strings.ToLower(set.value.text), "psi")[0]))
		if err != nil {
			continue
		}
		if number >= 14.7 {
			r.fail(set.place, path, set.value.read(), fmt.Sprintf("less than 14.7 psi, all the air there is; a vacuum gauge has inHg on its face: %q", fmt.Sprintf("%g inHg", number)))
			continue
		}
		r.warn(set, path, set.value.read(), "inHg as a rule, which is what a vacuum gauge has on its face")
	}
}

var errNoSize = errors.New("is no size that boosters come in")

// sizeWithUnit adds the unit to a size of a booster that has none.
func sizeWithUnit(text string) (string, error) {
	v, err := si.Parse(si.DimNone, text)
	switch {
	case err != nil:
		return text, nil
	case v >= 5 && v <= 15:
		return text + " in", nil
	case v >= 130 && v <= 380:
		return text + " mm", nil
	}
	return text, errNoSize
}
