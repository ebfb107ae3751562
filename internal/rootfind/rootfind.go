// Package rootfind finds, by halving, where something changes. It asks for no slope and
// for no smoothness, since what a simulation reaches has corners.
package rootfind

// Least returns the smallest value within tolerance for which holds is true,
// given that it is false at low and true at high and changes once in between.
func Least(low, high, tolerance float64, holds func(float64) (bool, error)) (float64, error) {
	for high-low > tolerance {
		mid := (low + high) / 2
		ok, err := holds(mid)
		if err != nil {
			return 0, err
		}
		if ok {
			high = mid
		} else {
			low = mid
		}
	}
	return high, nil
}

// Crossing returns where a quantity that is below 0 at low and not at high comes up
// to 0, once in between: halved to a cell as wide as the tolerance, in which it is
// taken as a straight line, since a cell's end would jump with the cell.
func Crossing(low, high, tolerance float64, of func(float64) float64) float64 {
	before, after := of(low), of(high)
	for high-low > tolerance {
		mid := (low + high) / 2
		if v := of(mid); v >= 0 {
			high, after = mid, v
		} else {
			low, before = mid, v
		}
	}
	if before >= 0 {
		return low
	}
	return low + (high-low)*before/(before-after)
}
