//go:build !js

package report

import (
	"math"
	"strconv"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Widths of a table in characters: what fits on a page of paper at the usual size, and
// what fits at the least that is legible.
const (
	usualTable = 84
	widestPage = 124
	// shortTable is how many rows are kept on one page.
	shortTable = 18
	// longWords is the width from which a last column of words is better off in a
	// line of its own below each row, where the table is too wide for the page.
	longWords = 40
)

// A tableView is a table, or a part of one that is too wide for a page.
type tableView struct {
	ID, Caption string
	// Part and Parts say which part it is; Parts is 1 where it is whole.
	Part, Parts int
	Wide, Short bool
	Heads       []headView
	Rows        [][]cellView
	// NoteHead and Notes are the last column, where it goes below each row; Notes is
	// empty where there is none.
	NoteHead headView
	Notes    []cellView
}

// A headView is the head of a column. Key is its key with the SI unit.
type headView struct{ Text, Key, Class string }

// A cellView is a cell as text, and in full where it is a number or a truth.
type cellView struct{ Text, Value, Class string }

// class says how a column's cells are set: words stand left, and short ones on a
// single line.
func (c column) class() string {
	const onOneLine = 16
	switch {
	case !c.left:
		return ""
	case c.width <= onOneLine:
		return "left whole-line"
	}
	return "left"
}

// tableViews sets a table for paper. A part that goes on beside the paper's edge
// begins with the first column again, or with the row's number where that names none.
func tableViews(t answer.Table, units si.System, id string) ([]tableView, error) {
	columns := make([]column, len(t.Columns))
	for i, c := range t.Columns {
		var err error
		if columns[i], err = newColumn(t, i, c, units, false); err != nil {
			return nil, err
		}
	}
	columns, below := cutNotes(columns)
	if tableWidth(columns) > widestPage && len(columns) > 0 && !distinct(columns[0].cells) {
		columns = append([]column{rowNumbers(len(t.Rows))}, columns...)
	}
	fit(columns, widestPage)
	all := parts(columns, widestPage)
	var views []tableView
	for i, part := range all {
		v := tableView{
			ID: id, Caption: t.Name, Part: i + 1, Parts: len(all),
			Wide: tableWidth(part) > usualTable, Short: len(t.Rows) <= shortTable,
		}
		if len(all) > 1 {
			v.ID += "-" + strconv.Itoa(i+1)
		}
		v.fill(part, len(t.Rows))
		if below != nil && i == len(all)-1 {
			v.NoteHead = newHead(*below)
			for r := range t.Rows {
				v.Notes = append(v.Notes, newCell(*below, r))
			}
		}
		views = append(views, v)
	}
	return views, nil
}

func (v *tableView) fill(columns []column, rows int) {
	for _, c := range columns {
		v.Heads = append(v.Heads, newHead(c))
	}
	for r := range rows {
		row := make([]cellView, len(columns))
		for i, c := range columns {
			row[i] = newCell(c, r)
		}
		v.Rows = append(v.Rows, row)
	}
}

func newHead(c column) headView {
	return headView{Text: c.head, Key: c.of.Key + c.of.Dim.Unit(si.SI).KeySuffix, Class: c.class()}
}

func newCell(c column, row int) cellView {
	return cellView{Text: c.cells[row], Value: fullValue(c.values[row]), Class: c.class()}
}

// cutNotes takes the last column off where it is to stand below the rows.
func cutNotes(columns []column) (kept []column, below *column) {
	last := len(columns) - 1
	if tableWidth(columns) <= widestPage || !columns[last].left || columns[last].width <= longWords {
		return columns, nil
	}
	return columns[:last], &columns[last]
}

// fullValue is a cell for a program: a number in SI to its last digit, as in CSV and
// JSON; empty for words and for what does not exist.
func fullValue(value answer.Cell) string {
	switch v := value.(type) {
	case float64:
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return ""
		}
		return shortest(v)
	case int:
		return strconv.Itoa(v)
	case bool:
		return strconv.FormatBool(v)
	}
	return ""
}

func tableWidth(columns []column) int {
	total := columnGap * (len(columns) - 1)
	for _, c := range columns {
		total += c.width
	}
	return total
}

func distinct(cells []string) bool {
	seen := map[string]bool{}
	for _, c := range cells {
		if seen[c] {
			return false
		}
		seen[c] = true
	}
	return true
}

// rowNumbers is a column that tells rows apart.
func rowNumbers(n int) column {
	c := column{head: "row", width: len("row"), values: make([]answer.Cell, n)}
	for i := range n {
		c.cells = append(c.cells, strconv.Itoa(i+1))
	}
	return c
}
