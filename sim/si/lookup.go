package si

import (
	"slices"
	"strings"
)

// found is the outcome of looking a unit's text up.
type found uint8

const (
	foundNot    found = iota
	foundPrefix       // only the case of an SI prefix differs: mPa for MPa
	foundUnit
)

var spelling = strings.NewReplacer(
	"^2", "2", "^3", "3", "²", "2", "³", "3",
	"º", "°", "˚", "°", "⋅", "·", "° ", "°", " / ", "/", " /", "/", "/ ", "/",
)

// spell brings the ways to write a unit to the one of the table.
func spell(text string) string {
	return spelling.Replace(strings.Join(strings.Fields(text), " "))
}

// lookUp finds the unit that text names in dimension d. Upper and lower case may be
// mixed up as long as this makes no other unit.
func (d Dimension) lookUp(text string) (knownUnit, found) {
	units := knownUnits[d]
	for _, u := range units {
		if text == u.name || slices.Contains(u.aliases, text) {
			return u, foundUnit
		}
	}
	for _, u := range units {
		for _, name := range append([]string{u.name}, u.aliases...) {
			switch {
			case !strings.EqualFold(text, name):
			case samePrefixes(text, name):
				return u, foundUnit
			default:
				return u, foundPrefix
			}
		}
	}
	return knownUnit{}, foundNot
}

// prefixed lists the parts of units that begin with milli or mega.
var prefixed = []string{"MPa", "mbar", "ml", "ms", "mm", "mm2", "mm3", "mmHg", "mm Hg"}

// samePrefixes reports whether text, which equals the unit's name but for its case,
// keeps milli and mega apart as the name does: they are a factor of a thousand million
// apart. In capitals throughout, MM can only be a millimetre.
func samePrefixes(text, name string) bool {
	texts := strings.Split(text, "/")
	for i, part := range strings.Split(name, "/") {
		if !slices.Contains(prefixed, part) || texts[i][0] == part[0] {
			continue
		}
		if !strings.HasPrefix(texts[i], "MM") {
			return false
		}
	}
	return true
}

// otherDimension returns a dimension other than d whose unit text is.
func otherDimension(d Dimension, text string) (Dimension, bool) {
	for other := range dimCount {
		if other == d {
			continue
		}
		if _, f := other.lookUp(text); f == foundUnit {
			return other, true
		}
	}
	return DimNone, false
}
