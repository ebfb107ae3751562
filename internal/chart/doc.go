// Package chart draws an answer.Figure, which is plain data in SI, as a PNG, SVG
// or PDF through gonum/plot. It knows no study: everything it prints, apart from
// numbers and units, stands in the figure.
//
// The same figure gives the same bytes, in every format, at any time.
package chart
