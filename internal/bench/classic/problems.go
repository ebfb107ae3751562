package classic

import "fmt"

// Equations and known values of all problems are from memory of Hairer and Wanner,
// Solving Ordinary Differential Equations II, section IV.10, and of the Test Set for IVP
// Solvers (F. Mazzia, C. Magherini, release 2.4). The tests of ode hold the values, but
// for Pollution's, against methods of three families: Rosenbrock, Radau IIA and CVODE's;
// the comparison of work and precision holds all against the first and the last.

// All are the problems.
func All() []*Problem {
	return []*Problem{Robertson(), HIRES(), VanDerPol(1e-6), Oregonator(), E5(), Pollution()}
}

// Robertson is a reaction of three species. The first two terms all but cancel, so that
// they are added up before the small third one, or rounding moves the end.
func Robertson() *Problem {
	return (&Problem{
		Name: "Robertson", Start: []float64{1, 0, 0}, Scale: []float64{1e-9, 1e-14, 1e-9},
		Known: []Known{
			{40, []float64{0.7158270687, 9.185534765e-6, 0.2841637457}},
			{1e11, []float64{0.2083340149701255e-7, 0.8333360770334713e-13, 0.9999999791665050}},
		},
	}).react([]reaction{
		{0.04, []int{1}, []int{2}},
		{1e4, []int{2, 3}, []int{1, 3}},
		{3e7, []int{2, 2}, []int{2, 3}},
	})
}

// HIRES is the "high irradiance response" of plant physiology, eight species.
func HIRES() *Problem {
	return (&Problem{
		Name: "HIRES", Start: []float64{1, 0, 0, 0, 0, 0, 0, 0.0057}, Scale: even(8, 1e-4),
		Known: []Known{{321.8122, []float64{
			0.7371312573325668e-3, 0.1442485726316185e-3, 0.5888729740967575e-4, 0.1175651343283149e-2,
			0.2386356198831331e-2, 0.6238968252742796e-2, 0.2849998395185769e-2, 0.2850001604814231e-2,
		}}},
	}).react([]reaction{
		{1.71, []int{1}, []int{2}},
		{0.43, []int{2}, []int{1}},
		{8.32, []int{2}, []int{4}},
		{8.32, []int{3}, []int{1}},
		{1.71, []int{3}, []int{4}},
		{0.43, []int{4}, []int{3}},
		{0.69, []int{4}, []int{6}},
		{0.035, []int{5}, []int{3}},
		{1.71, []int{5}, []int{6}},
		{0.43, []int{6}, []int{5}},
		{0.43, []int{7}, []int{5, 8}},
		{0.69, []int{7}, []int{6, 8}},
		{0.69, []int{7}, []int{8}},
		{280, []int{6, 8}, []int{7}},
		{0.0007, nil, []int{1}},
	})
}

// VanDerPol is eps*y2' = (1-y1^2)*y2 - y1 with y2 = y1', a relaxation oscillation. What
// is known is the solution for an eps of 1e-6.
func VanDerPol(eps float64) *Problem {
	return (&Problem{
		Name: fmt.Sprintf("Van der Pol, eps %g", eps), Start: []float64{2, 0}, Scale: even(2, 1),
		Known: []Known{{2, []float64{1.706167732170483, -0.8928097010247975}}},
	}).of([]term{
		{1, []int{2}, map[int]float64{1: 1, 2: 1 / eps}},
		{1 / eps, []int{1, 1, 2}, map[int]float64{2: -1}},
		{1 / eps, []int{1}, map[int]float64{2: -1}},
	})
}

// Oregonator is Field and Noyes's model of the Belousov-Zhabotinskii reaction.
func Oregonator() *Problem {
	const s, q, w = 77.27, 8.375e-6, 0.161
	return (&Problem{
		Name: "Oregonator", Start: []float64{1, 2, 3}, Scale: even(3, 1e-2),
		Known: []Known{{360, []float64{1.000814870318523, 1228.178521549917, 132.0554942846706}}},
	}).of([]term{
		{1, []int{2}, map[int]float64{1: s, 2: -1 / s}},
		{1, []int{1}, map[int]float64{1: s, 3: w}},
		{s * q, []int{1, 1}, map[int]float64{1: -1}},
		{1, []int{1, 2}, map[int]float64{1: -s, 2: -1 / s}},
		{1, []int{3}, map[int]float64{2: 1 / s, 3: -w}},
	})
}

// E5 is a pyrolysis whose species differ by many powers of ten. The second one is left
// out, as the sum of the two after it: near the end it and the third are 1e-22, after
// more than 1e-10 on the way, and with all four states the rounding of any linear solver
// moves that sum by more than what is left.
//
// The known values, of the second and third species, do not keep it: they differ by
// 1.4e-3, so they are known to half of that at best.
func E5() *Problem {
	const a, b, m, c = 7.89e-10, 1.1e7, 1e6, 1.13e3
	return (&Problem{
		Name: "E5", Start: []float64{1.76e-3, 0, 0}, Scale: even(3, 1e-24),
		Known:    []Known{{1e13, []float64{0.8867655517642120e-22, 0.8854814626268838e-22}}},
		Compared: func(y []float64) []float64 { return []float64{y[1] + y[2], y[1]} },
	}).react([]reaction{
		{a, []int{1}, []int{2}},
		{b, []int{1, 2}, []int{3}},
		{m * c, []int{2, 2}, []int{2}},
		{m * c, []int{3, 2}, []int{3}},
		{c, []int{3}, []int{2}},
	})
}
