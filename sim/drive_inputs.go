package sim

// inputs are what changes from outside while a run goes on. Between two break
// times each is a straight line, so that the integrator sees no corner.
type inputs struct {
	pedal    line // N
	source   line // Pa, a bench's pressure
	speed    line // 1/s, of the engine
	throttle line // m³/(s Pa), conductance of the throttle beyond idle
	seek     *seek
	pumping  bool
}

// line is a straight line in time.
type line struct{ t0, v0, slope float64 }

func (l line) at(t float64) float64 { return l.v0 + l.slope*(t-l.t0) }

// seek is a driver who adjusts the pedal until the car slows as wanted.
type seek struct {
	deceleration float64 // m/s²
	limit        float64 // N
	patience     float64 // s
}

// A course is a piecewise linear plan of one input; it keeps its last value.
type course struct{ knots []knot }

type knot struct{ t, v float64 }

// hold drops the plan and keeps the value v from t on.
func (c *course) hold(t, v float64) { c.knots = append(c.knots[:0], knot{t, v}) }

// to appends a knot.
func (c *course) to(t, v float64) { c.knots = append(c.knots, knot{t, v}) }

// last returns the value that the plan ends with.
func (c *course) last() float64 { return c.knots[len(c.knots)-1].v }

// follow appends the knots of another plan that lie later than this one's.
func (c *course) follow(plan course) {
	end := c.knots[len(c.knots)-1].t
	for _, k := range plan.knots {
		if k.t > end {
			c.knots = append(c.knots, k)
		}
	}
}

// piece returns the line that holds from t on and the time until which it does;
// with nothing ahead that time is math.Inf(1).
func (c *course) piece(t float64) (line, float64) {
	for len(c.knots) > 1 && c.knots[1].t <= t {
		c.knots = c.knots[1:]
	}
	a := c.knots[0]
	if len(c.knots) == 1 {
		return line{t0: t, v0: a.v}, never
	}
	b := c.knots[1]
	if t < a.t {
		return line{t0: t, v0: a.v}, a.t
	}
	return line{t0: a.t, v0: a.v, slope: (b.v - a.v) / (b.t - a.t)}, b.t
}

func (c *course) clone() course { return course{append([]knot(nil), c.knots...)} }
