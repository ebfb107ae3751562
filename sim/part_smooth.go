package sim

import "math"

// ramp is max(0, z) with its corner rounded over ±w, exact outside.
func ramp(z, w float64) float64 {
	switch {
	case z <= -w:
		return 0
	case z >= w:
		return z
	}
	return (z + w) * (z + w) / (4 * w)
}

// rampSlope is the derivative of ramp by z.
func rampSlope(z, w float64) float64 {
	switch {
	case z <= -w:
		return 0
	case z >= w:
		return 1
	}
	return (z + w) / (2 * w)
}

// step rises from 0 to 1 while u goes from 0 to 1, level at both ends.
func step(u float64) float64 {
	switch {
	case u <= 0:
		return 0
	case u >= 1:
		return 1
	}
	return u * u * (3 - 2*u)
}

// stepSlope is the derivative of step by u.
func stepSlope(u float64) float64 {
	if u <= 0 || u >= 1 {
		return 0
	}
	return 6 * u * (1 - u)
}

// sign goes from -1 to 1 around v = 0 over a few w.
func sign(v, w float64) float64 { return v / math.Sqrt(v*v+w*w) }

// signSlope is the derivative of sign by v.
func signSlope(v, w float64) float64 {
	q := v*v + w*w
	return w * w / (q * math.Sqrt(q))
}
