// Package ode integrates stiff systems of ordinary differential equations with
// discontinuities at known times (breaks, landed on exactly) and at unknown ones
// (guards, located on the dense output).
//
// The method is RODAS4(3) of Hairer and Wanner: a linearly implicit Runge-Kutta
// method with an analytic Jacobian, so that a step needs one sparse LU decomposition
// and six solutions, and no iteration that could fail at a corner. The elimination
// order is planned once for the pattern of the Jacobian and needs no pivoting for
// the diagonally heavy matrices of dissipative systems.
//
// It is written here because gonum v0.17 has no package for differential equations,
// and no maintained stiff solver with events was found for Go.
package ode
