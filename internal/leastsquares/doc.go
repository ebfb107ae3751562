// Package leastsquares finds the unknowns of a model by least squares, and says how
// well the data fix them.
//
// The minimum is gonum's to find: its Newton method works with the Hessian JᵀJ of
// Gauss and Newton, which needs no second derivatives. Slopes come from central
// differences, so that a model may be any program. gonum has no least-squares method
// of its own that takes a model which is not linear.
package leastsquares
