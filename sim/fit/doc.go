// Package fit finds the figures of a car that a logged gauge shows: it drives the model
// as the log has it, changes the unknowns until the model meets the gauges, and says how
// well the log fixes each of them.
package fit
