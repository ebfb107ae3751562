package scenario

import (
	"slices"
	"strings"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// How far two figures of one part lie apart that were written or measured differently: a
// bore of 15/16 in is a bore of 23.8 mm, a shell of 9 in one of 229 mm.
const (
	sameBoreWithin  = 0.05e-3
	sameShellWithin = 0.5e-3
)

// SameBore reports whether two master cylinders are of one bore.
func SameBore(a, b si.Length) bool { return a-b < sameBoreWithin && b-a < sameBoreWithin }

// SameShell reports whether two boosters have diaphragms of the same diameters.
func SameShell(a, b []si.Length) bool {
	return slices.EqualFunc(a, b, func(x, y si.Length) bool { return x-y < sameShellWithin && y-x < sameShellWithin })
}

// presentParts adds the parts that are there to the lists of a choice that were not given:
// what is bought is weighed against what is there. Nobody hangs up a smaller tank than the
// one that hangs there.
func (r *resolver) presentParts() {
	car, choice := &r.s.Config, &r.s.Choose
	if b := car.Booster; b.Kind == sim.BoosterVacuum && len(b.Diameters) > 0 && !r.isSet(KeyChooseBoosters) {
		if i := slices.IndexFunc(choice.Boosters, func(s BoosterSize) bool { return SameShell(s.Diameters, b.Diameters) }); i >= 0 {
			choice.Boosters[i].Diameters = b.Diameters
		} else {
			choice.Boosters = append(choice.Boosters, BoosterSize{Text: shellText(b.Diameters), Diameters: b.Diameters})
		}
	}
	if bore := car.Master.Bore; !r.isSet(KeyChooseBores) {
		if i := slices.IndexFunc(choice.Bores, func(l si.Length) bool { return SameBore(l, bore) }); i >= 0 {
			choice.Bores[i] = bore
		} else {
			choice.Bores = append(choice.Bores, bore)
		}
	}
	if tank := car.Reservoir.Volume; tank > 0 && !r.isSet(KeyChooseReservoirs) {
		choice.Reservoirs = slices.DeleteFunc(choice.Reservoirs, func(v si.Volume) bool { return v > 0 && v <= tank })
		choice.Reservoirs = append(choice.Reservoirs, tank)
	}
}

// shellText is a size as it is written.
func shellText(diameters []si.Length) string {
	texts := make([]string, len(diameters))
	for i, d := range diameters {
		texts[i] = quantityText(si.DimLength, float64(d))
	}
	return strings.Join(texts, " + ")
}
