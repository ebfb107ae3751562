package ode

// RODAS4(3): 6 stages, order 4 with an embedded method of order 3, L-stable and
// stiffly accurate. E. Hairer, G. Wanner, Solving Ordinary Differential Equations
// II, 2nd edition, section VI.4; coefficients of the authors' code rodas.f, method
// 1 (secondary copy; the tests derive the order conditions from them).
//
// With k_j the solutions of
//
//	(I/(gamma h) - J) k_i = f(t + c_i h, y + sum_j a_ij k_j) + sum_j (c_ij/h) k_j + h d_i df/dt
//
// the argument of the fifth stage plus k_5 is the embedded solution and the argument
// of the sixth; that plus k_6 is the new state, and k_6 the error estimate.
const (
	gamma = 0.25

	c2, c3, c4 = 0.386, 0.21, 0.63

	d1, d2, d3, d4 = 0.25, -0.1043, 0.1035, -0.0362

	a21 = 1.544
	a31 = 0.9466785280815826
	a32 = 0.2557011698983284
	a41 = 3.314825187068521
	a42 = 2.896124015972201
	a43 = 0.9986419139977817
	a51 = 1.221224509226641
	a52 = 6.019134481288629
	a53 = 12.53708332932087
	a54 = -0.6878860361058950

	c21 = -5.6688
	c31 = -2.430093356833875
	c32 = -0.2063599157091915
	c41 = -0.1073529058151375
	c42 = -9.594562251023355
	c43 = -20.47028614809616
	c51 = 7.496443313967647
	c52 = -10.24680431464352
	c53 = -33.99990352819905
	c54 = 11.70890893206160
	c61 = 8.083246795921522
	c62 = -7.981132988064893
	c63 = -31.52159432874371
	c64 = 16.31930543123136
	c65 = -6.058818238834054

	// Inner coefficients of the dense output, from k_1 to k_5.
	e11 = 10.12623508344586
	e12 = -7.487995877610167
	e13 = -34.80091861555747
	e14 = -7.992771707568823
	e15 = 1.025137723295662
	e21 = -0.6762803392801253
	e22 = 6.087714651680015
	e23 = 16.43084320892478
	e24 = 24.76722511418386
	e25 = -6.594389125716872
)
