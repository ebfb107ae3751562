package ode

// Step is one accepted step from (T0, Y0) to (T1, Y1). The solver reuses it and its
// slices: what is to be kept must be copied, and nothing in it may be changed.
type Step struct {
	T0, T1 float64
	Y0, Y1 []float64
	Fired  []int // indices of the guards that fire at T1, empty if none; Y1 is the state before they act

	solver *Solver
	formed bool
	d0, d1 []float64 // inner coefficients of the dense output, see cubic
}

// Eval writes the state at time t, between T0 and T1, to out. It is the method's
// own cubic: of order 3 within the step, exact at both ends.
func (s *Step) Eval(t float64, out []float64) {
	s.form()
	s.at((t-s.T0)/(s.T1-s.T0), out)
}

// at writes the state at the share theta of the step; the cubic must be formed.
func (s *Step) at(theta float64, out []float64) {
	for i := range out {
		out[i] = cubic(theta, s.Y0[i], s.Y1[i], s.d0[i], s.d1[i])
	}
}

// form computes the inner coefficients unless they are there already.
func (s *Step) form() {
	if !s.formed {
		s.solver.denseInto(s.d0, s.d1)
		s.formed = true
	}
}

// cut ends the step at the share theta of it, time t. The rest of the cubic is the
// same polynomial, written for the shorter step.
func (s *Step) cut(theta, t float64) {
	s.form()
	sq := theta * theta
	for i, b := range s.d1 {
		a := s.d0[i]
		s.Y1[i] = cubic(theta, s.Y0[i], s.Y1[i], a, b)
		s.d1[i] = sq * theta * b
		s.d0[i] = sq*(a-b) + s.d1[i]
	}
	s.T1 = t
}

// Dense returns a copy of the dense output to keep.
func (s *Step) Dense() Segment {
	return s.DenseInto(make([]float64, 4*len(s.Y0)))
}

// DenseInto is Dense with the coefficients written to buf, which the segment keeps.
// buf must have length 4*len(Y0).
func (s *Step) DenseInto(buf []float64) Segment {
	s.form()
	for i, y0 := range s.Y0 {
		c := buf[4*i : 4*i+4 : 4*i+4]
		c[0], c[1], c[2], c[3] = y0, s.Y1[i], s.d0[i], s.d1[i]
	}
	return Segment{T0: s.T0, T1: s.T1, Coef: buf[:4*len(s.Y0)]}
}

// Segment is the dense output of one step, independent of the solver.
type Segment struct {
	T0, T1 float64
	// Coef holds four numbers a state, one state after the other: the values at T0
	// and T1 and the two inner coefficients a, b of
	//
	//	y = (1-s)*y0 + s*(y1 + (1-s)*(a + s*b)),  s = (t-T0)/(T1-T0).
	Coef []float64
}

// Size is the number of states.
func (g Segment) Size() int { return len(g.Coef) / 4 }

// At writes all states at time t to out. Outside of T0 and T1 the cubic is
// continued, with an error that grows fast.
func (g Segment) At(t float64, out []float64) {
	theta := (t - g.T0) / (g.T1 - g.T0)
	for i := range out {
		c := g.Coef[4*i : 4*i+4 : 4*i+4]
		out[i] = cubic(theta, c[0], c[1], c[2], c[3])
	}
}

// AtIndex is state i at time t.
func (g Segment) AtIndex(t float64, i int) float64 {
	c := g.Coef[4*i : 4*i+4 : 4*i+4]
	return cubic((t-g.T0)/(g.T1-g.T0), c[0], c[1], c[2], c[3])
}

func cubic(s, y0, y1, a, b float64) float64 {
	return (1-s)*y0 + s*(y1+(1-s)*(a+s*b))
}
