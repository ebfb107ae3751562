// Package native holds equations written once more in C, and CVODE driven from C, so
// that the project's integrator can be timed against it without a call crossing from
// one language into the other. Its tests hold the C against the Go.
//
// Everything but this file stands under the build tag sundials, as in package cvode.
package native
