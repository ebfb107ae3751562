// Package cvode is a binding to CVODE of SUNDIALS (Hindmarsh and others, ACM
// Trans. Math. Softw. 31, 2005), as far as checking the project's own integrator
// against it needs: variable-order BDF, a dense Jacobian by differences, Newton's
// iteration, restarts at known times.
//
// Everything but this file stands under the build tag sundials and needs cgo with
// SUNDIALS 6, which Debian 12 packages as libsundials-dev. Only tests import it, so
// that the program stays pure Go.
package cvode
