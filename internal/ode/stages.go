package ode

import "math"

// stages computes the six stages from (t, y) to t1 = t + h with the factors at
// hand, leaves the new state in ynew and returns the norm of the error estimate.
// The result is not finite if the new state is not.
func (s *Solver) stages(h, t1 float64) float64 {
	n := len(s.y)
	y, f, ft := s.y[:n], s.f[:n], s.dfdt[:n]
	arg, ynew := s.arg[:n], s.ynew[:n]
	k1, k2, k3, k4, k5, k6 := s.k1[:n], s.k2[:n], s.k3[:n], s.k4[:n], s.k5[:n], s.k6[:n]
	sys, m, t := s.sys, s.matrix, s.t
	hi := 1 / h

	g := h * d1
	for i := range k1 {
		k1[i] = f[i] + g*ft[i]
	}
	m.solve(s.k1)

	for i := range arg {
		arg[i] = y[i] + a21*k1[i]
	}
	sys.Rates(t+c2*h, arg, k2)
	g = h * d2
	g1 := c21 * hi
	for i := range k2 {
		k2[i] += g*ft[i] + g1*k1[i]
	}
	m.solve(s.k2)

	for i := range arg {
		arg[i] = y[i] + a31*k1[i] + a32*k2[i]
	}
	sys.Rates(t+c3*h, arg, k3)
	g = h * d3
	g1, g2 := c31*hi, c32*hi
	for i := range k3 {
		k3[i] += g*ft[i] + g1*k1[i] + g2*k2[i]
	}
	m.solve(s.k3)

	for i := range arg {
		arg[i] = y[i] + a41*k1[i] + a42*k2[i] + a43*k3[i]
	}
	sys.Rates(t+c4*h, arg, k4)
	g = h * d4
	g1, g2 = c41*hi, c42*hi
	g3 := c43 * hi
	for i := range k4 {
		k4[i] += g*ft[i] + g1*k1[i] + g2*k2[i] + g3*k3[i]
	}
	m.solve(s.k4)

	for i := range ynew {
		ynew[i] = y[i] + a51*k1[i] + a52*k2[i] + a53*k3[i] + a54*k4[i]
	}
	sys.Rates(t1, ynew, k5)
	g1, g2, g3 = c51*hi, c52*hi, c53*hi
	g4 := c54 * hi
	for i := range k5 {
		k5[i] += g1*k1[i] + g2*k2[i] + g3*k3[i] + g4*k4[i]
	}
	m.solve(s.k5)

	for i := range ynew {
		ynew[i] += k5[i]
	}
	sys.Rates(t1, ynew, k6)
	g1, g2, g3, g4 = c61*hi, c62*hi, c63*hi, c64*hi
	g5 := c65 * hi
	for i := range k6 {
		k6[i] += g1*k1[i] + g2*k2[i] + g3*k3[i] + g4*k4[i] + g5*k5[i]
	}
	m.solve(s.k6)
	s.stats.Rates += 5

	abs, rel := s.tol.Abs[:n], s.tol.Rel
	sum, broken := 0.0, 0.0
	for i := range ynew {
		v := ynew[i] + k6[i]
		ynew[i] = v
		broken += v - v // stays zero unless v is infinite or not a number
		size := math.Abs(y[i])
		if w := math.Abs(v); w > size {
			size = w
		}
		e := k6[i] / (abs[i] + rel*size)
		sum += e * e
	}
	return math.Sqrt(sum/float64(n)) + broken
}

// denseInto writes the inner coefficients of the dense output of the last step.
func (s *Solver) denseInto(a, b []float64) {
	n := len(s.y)
	a, b = a[:n], b[:n]
	k1, k2, k3, k4, k5 := s.k1[:n], s.k2[:n], s.k3[:n], s.k4[:n], s.k5[:n]
	for i := range a {
		a[i] = e11*k1[i] + e12*k2[i] + e13*k3[i] + e14*k4[i] + e15*k5[i]
		b[i] = e21*k1[i] + e22*k2[i] + e23*k3[i] + e24*k4[i] + e25*k5[i]
	}
}
