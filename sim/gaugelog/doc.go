// Package gaugelog reads what gauges wrote down over time: a table with a header that
// names each column with its unit, and a row a moment.
//
// It is forgiving about the form of a log and strict about its meaning. The separator
// may be a comma, a semicolon or a tab; the unit may stand behind the name in any of the
// usual ways; columns that it does not know are left out, and named. But a column
// without a unit, a word where a number belongs, a time that runs backwards or a reading
// that no gauge can show is refused, with its line.
//
// A log of any length is read in a memory that does not grow with it: rows that lie on
// a straight line within the scatter of their gauge become one [Point].
package gaugelog
