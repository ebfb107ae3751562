package si

import "slices"

// customary are the names of the units, among those that texts may carry, that are
// used in the United States alone.
var customary = []string{
	"inHg", "psi", "lbf", "in", "ft", "in2", "in3", "qt", "gal", "lb", "ft/s2", "mph", "ft/s", "°F", "lbf/in", "in3/psi", "cfm",
	"lb/min", "ft·lbf",
}

// SystemOf returns the system of the unit that a quantity of dimension d was typed in,
// so that an answer can use it too. A text without a unit, or with none that is known,
// is SI.
func SystemOf(d Dimension, text string) System {
	if d >= dimCount {
		return SI
	}
	text, _, _ = cutPlusMinus(text)
	unit, reason := unitText(text)
	if reason != "" {
		return SI
	}
	if u, f := d.lookUp(spell(unit)); f == foundUnit && slices.Contains(customary, u.name) {
		return US
	}
	return SI
}
