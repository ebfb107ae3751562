package study

// least returns the smallest value within tolerance for which holds is true,
// given that it is false at low and true at high and changes once in between.
func least(low, high, tolerance float64, holds func(float64) (bool, error)) (float64, error) {
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
