// Package si holds the quantities of the booster model: one float64 type for each
// physical dimension, always in SI units, and the reading and printing of them with
// the units of the trade.
//
// Everything inside the model is SI and absolute. Units exist only where people read
// and write: [Parse] takes texts such as "10 in" or "18 inHg ± 0.5", [Format] prints to
// the resolution of a workshop gauge, [FormatFine] to four significant digits, and
// [Convert] with [Unit.KeySuffix] serves data files.
//
// A pressure and a vacuum are different types, since taking one for the other is the
// classic mistake of the field; [Pressure.Vacuum] and [Vacuum.Below] lead from one to
// the other, and both name the ambient pressure.
package si
