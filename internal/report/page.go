package report

import (
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// A Page is one or more answers about one car with what they rest on, for HTML.
type Page struct {
	// Title is the car's; File is where it was read from.
	Title, File string
	Units       si.System
	// Front is the first page; nil for none.
	Front   *Front
	Studies []Study
	// Given are the values that the user set, Assumed those that nobody did; More
	// is how many of the latter are left out.
	Given, Assumed []Input
	More           int
	// Warnings say what is unlikely in the input.
	Warnings []string
	// Scenario marshals to all values of the input, in SI.
	Scenario any
	// Version is the program's, Hash the input's, and Command what was typed.
	Version, Hash, Command string
}

// A Study is one answer on a page.
type Study struct {
	// Verb is its name, and begins the ids of its section: "curve".
	Verb string
	// Question is what was asked, in words.
	Question string
	Answer   answer.Answer
	// Hash is the input's, where flags of the verb changed it; otherwise empty.
	Hash string
}

// An Input is one value that the answers rest on.
type Input struct {
	Key     string // "booster.ratio"
	Value   string // "20 inHg"
	Within  string // its tolerance, "19 to 21 inHg"; empty for none
	Meaning string
	// From says who set it, "car.toml:12", or what it follows from.
	From string
	// Estimate says that it was not given and has no source.
	Estimate bool
	// SI are the numbers of a quantity, and Unit is theirs as a key has it: "pa".
	SI   []float64
	Unit string
}
