package scenario

import "kneepoint/sim/si"

// system returns the system of units that a setting was typed in: of a list, of its
// first item. Limits are named in it, since nobody wants to convert to see how far
// off they are.
func (r *resolver) system(set setting) si.System {
	k, _, ok := keyOf(set.path)
	if !ok {
		return si.SI
	}
	for _, item := range k.items(set.value) {
		return si.SystemOf(k.dim, item.text)
	}
	return si.SI
}
