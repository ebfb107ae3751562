package sim

import "kneepoint/sim/si"

// Hoses says what the flexible hoses of a circuit are made of.
type Hoses string

// The kinds of brake hose.
const (
	HosesRubber  Hoses = "rubber"
	HosesBraided Hoses = "braided"
)

// The hoses of a car: one to each front wheel, one to the rear axle (common
// practice, no source).
const (
	FrontHoses = 2
	RearHoses  = 1
)

// rubberStretch is what one rubber hose takes beyond a braided one (estimate).
// 49 CFR 571.106, table I, lets an 1/8 in hose of regular expansion grow by
// 0.66 cm³/ft and one of low expansion by 0.33 at 1000 psi (from memory): the
// difference over 15 in is 0.06 cm³/MPa.
const rubberStretch si.Compliance = 0.06e-12

// leastCompliance is what fluid and callipers keep of a circuit's compliance
// whatever its hoses are (estimate).
const leastCompliance si.Compliance = 0.03e-12

// WithHoses returns the circuit with n hoses of another kind, its compliance
// changed by what these stretch.
func (c Circuit) WithHoses(kind Hoses, n int) Circuit {
	stretch := rubberStretch * si.Compliance(n)
	switch {
	case kind == HosesBraided && c.Hoses != HosesBraided:
		c.Compliance = max(c.Compliance-stretch, min(c.Compliance, leastCompliance))
	case kind == HosesRubber && c.Hoses == HosesBraided:
		c.Compliance += stretch
	}
	c.Hoses = kind
	return c
}
