// Package workshop simulates what a workshop does to find out what is wrong with a car:
// its faults, each on a scale of severity from 0 to 1, and its tests, with the
// instruments that they are read off.
//
// One table has everything about a test: under which conditions it is done and how, how
// it is simulated, and how it is read. [scenario.TestForms] says besides how a reading
// of it is written.
package workshop
