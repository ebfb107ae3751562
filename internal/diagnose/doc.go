// Package diagnose finds what is wrong with a car from the readings of workshop tests.
//
// A [Library] holds what every test reads on the car with every fault of every severity.
// Readings weigh these hypotheses, allowing for the errors of the instruments and for a
// car that differs from its figures; a [Diagnosis] is what is believed then, why, and
// which test would tell most for its time.
package diagnose
