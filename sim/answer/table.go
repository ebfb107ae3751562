package answer

import "kneepoint/sim/si"

// A Table has one row a record and one column a quantity.
type Table struct {
	// Name says in a few words what the table holds.
	Name    string
	Columns []Column
	// Detail marks a table too long for a text; a text leaves it out. The first
	// table of an answer, detailed or not, is the one that CSV holds.
	Detail bool
	Rows   [][]Cell
}

// A Column says what stands below it. Key is the snake_case name without its
// unit ("needed_pedal"); the unit's suffix is added from Dim when printed.
type Column struct {
	Key   string
	Title string
	Dim   si.Dimension
}

// A Cell is a float64 in the SI unit of its column, an int, a bool, a string, a
// Phrase, or nil where the value does not exist.
type Cell any

// A Phrase is words that hold quantities, in the units asked for.
type Phrase func(units si.System) string
