// Package answer is the shape in which a study hands over what it found: words,
// tables and figures as plain data in SI, and the JSON document. Whatever shows
// a result (text, CSV, JSON, a picture, a page) is written once against these
// types and knows no study.
package answer

import "kneepoint/sim/si"

// An Answer is the result of one study.
type Answer interface {
	// Words are the plain-language answer, one paragraph an element, with
	// figures in the units asked for and to no more digits than a gauge shows.
	Words(units si.System) []string
	// Tables are the figures behind the words, in SI.
	Tables() []Table
	// Figures are the pictures of the result, in SI.
	Figures() []Figure
	// Document marshals to the JSON of the result. Every key ends with its SI
	// unit; what does not exist is null.
	Document() any
}
