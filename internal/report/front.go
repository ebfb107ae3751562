package report

import (
	"html/template"

	"kneepoint/sim/answer"
)

// A Front is the first page of a report, for who owns the car: on one sheet, and without
// the words of files and programs.
type Front struct {
	// Lines stand at the top, as of a form.
	Lines []Line
	// Question is what the page answers, and Verdict how, its first paragraph the one to
	// read.
	Question string
	Verdict  []string
	// Stops is what the foot needs; StopsTitle stands above it, Notes below.
	StopsTitle string
	Stops      answer.Table
	Notes      []string
	// Picture is an svg element, PictureNote says what it shows; both may be empty.
	Picture     template.HTML
	PictureNote string
	// Do says what to do, and Worth compares what could be bought; it may be empty.
	Do    []string
	Worth answer.Table
	// Measure is what to measure first, NoMeasure what stands there where it is empty.
	Measure   []Measure
	NoMeasure string
}

// A Line is one of a form: without a text it is there to be filled in by hand.
type Line struct{ Name, Text string }

// A Measure is something to measure, why, and how.
type Measure struct{ What, Why, How string }
