package report

import (
	"fmt"
	"strconv"
	"strings"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

const missing = "—"

// A column is a table's column as text.
type column struct {
	of     answer.Column
	values []answer.Cell
	head   string // title and unit
	cells  []string
	left   bool // words stand left, numbers right
	width  int
}

const columnGap = 2

// tableLines sets a table within limit characters: heads are broken at spaces, then the
// widest columns of words are; what is still too wide goes on below, the first column
// repeated.
func tableLines(t answer.Table, units si.System, fine bool, limit int) ([]string, error) {
	columns := make([]column, len(t.Columns))
	for i, c := range t.Columns {
		var err error
		if columns[i], err = newColumn(t, i, c, units, fine); err != nil {
			return nil, err
		}
	}
	fit(columns, limit)
	var lines []string
	if t.Name != "" {
		lines = Wrap(t.Name, limit)
	}
	for i, part := range parts(columns, limit) {
		if i > 0 {
			lines = append(lines, "")
		}
		lines = append(lines, partLines(part, len(t.Rows))...)
	}
	return lines, nil
}

// parts deals the columns out so that each part is no wider than limit, if it can be;
// each begins with the first column, which names the row.
func parts(columns []column, limit int) [][]column {
	if len(columns) == 0 {
		return nil
	}
	var all [][]column
	part, total := columns[:1:1], columns[0].width
	for _, c := range columns[1:] {
		if total+columnGap+c.width > limit && len(part) > 1 {
			all = append(all, part)
			part, total = columns[:1:1], columns[0].width
		}
		part, total = append(part, c), total+columnGap+c.width
	}
	return append(all, part)
}

// partLines sets columns side by side.
func partLines(columns []column, rows int) []string {
	heads := make([][]string, len(columns))
	high := 0
	for i, c := range columns {
		heads[i] = Wrap(c.head, c.width)
		high = max(high, len(heads[i]))
	}
	for i := range heads { // heads end on the same line
		heads[i] = append(make([]string, high-len(heads[i])), heads[i]...)
	}
	lines := rowLines(columns, heads)
	rule := make([]string, len(columns))
	for i, c := range columns {
		rule[i] = strings.Repeat("-", c.width)
	}
	lines = append(lines, strings.Join(rule, strings.Repeat(" ", columnGap)))
	for r := range rows {
		cells := make([][]string, len(columns))
		for i, c := range columns {
			cells[i] = []string{c.cells[r]}
			if width(c.cells[r]) > c.width {
				cells[i] = Wrap(c.cells[r], c.width)
			}
		}
		lines = append(lines, rowLines(columns, cells)...)
	}
	return lines
}

// rowLines sets one row whose cells may have several lines.
func rowLines(columns []column, cells [][]string) []string {
	high := 0
	for _, c := range cells {
		high = max(high, len(c))
	}
	lines := make([]string, high)
	for k := range lines {
		parts := make([]string, len(columns))
		for i, c := range columns {
			s := ""
			if k < len(cells[i]) {
				s = cells[i][k]
			}
			if c.left {
				parts[i] = padRight(s, c.width)
			} else {
				parts[i] = padLeft(s, c.width)
			}
		}
		lines[k] = strings.Join(parts, strings.Repeat(" ", columnGap))
	}
	return lines
}

func newColumn(t answer.Table, i int, c answer.Column, units si.System, fine bool) (column, error) {
	values := make([]answer.Cell, len(t.Rows))
	col := column{of: c, values: values, head: c.Title}
	for r, row := range t.Rows {
		if len(row) != len(t.Columns) {
			return column{}, fmt.Errorf("table %q, row %d: %d cells for %d columns", t.Name, r+1, len(row), len(t.Columns))
		}
		values[r] = row[i]
	}
	show := func(v float64) string {
		if fine {
			return si.FormatFine(c.Dim, v, units)
		}
		return si.Format(c.Dim, v, units)
	}
	unit, common := commonUnit(values, show)
	if common && unit == "" {
		unit = c.Dim.Unit(units).Name
	}
	if common && unit != "" {
		col.head = strings.TrimSpace(col.head + " (" + unit + ")")
	}
	for r, value := range values {
		var s string
		switch v := value.(type) {
		case nil:
			s = missing
		case float64:
			s = show(v)
			if common {
				s, _, _ = strings.Cut(s, " ")
			}
		case int:
			s = strconv.Itoa(v)
		case bool:
			s = "no"
			if v {
				s = "yes"
			}
			col.left = true
		case string:
			s = strings.Join(strings.Fields(v), " ")
			col.left = true
		case answer.Phrase:
			s = strings.Join(strings.Fields(v(units)), " ")
			col.left = true
		default:
			return column{}, cellError(t, r, c, value)
		}
		col.cells = append(col.cells, s)
	}
	for _, word := range strings.Fields(col.head) {
		col.width = max(col.width, width(word))
	}
	for _, s := range col.cells {
		col.width = max(col.width, width(s))
	}
	return col, nil
}

func cellError(t answer.Table, row int, c answer.Column, value any) error {
	return fmt.Errorf("table %q, row %d, column %q: a cell cannot be a %T", t.Name, row+1, c.Key, value)
}

// commonUnit is the unit that all values of a column print with, so that it can stand
// in the head. A value of zero has any unit. Where a column mixes units, since its
// values differ by orders of magnitude, each cell keeps its own.
func commonUnit(values []answer.Cell, show func(float64) string) (unit string, common bool) {
	for _, value := range values {
		v, ok := value.(float64)
		if !ok || v == 0 {
			continue
		}
		s := show(v)
		if s == missing {
			continue
		}
		_, u, _ := strings.Cut(s, " ")
		if unit != "" && u != unit {
			return "", false
		}
		unit = u
	}
	return unit, true
}

// fit narrows the widest column of words until the table is no wider than limit, as
// far as its longest word lets it.
func fit(columns []column, limit int) {
	for {
		total := columnGap * (len(columns) - 1)
		widest := -1
		for i, c := range columns {
			total += c.width
			if c.left && c.width > longestWord(c) && (widest < 0 || c.width > columns[widest].width) {
				widest = i
			}
		}
		if total <= limit || widest < 0 {
			return
		}
		columns[widest].width--
	}
}

func longestWord(c column) int {
	n := 8
	for _, s := range append([]string{c.head}, c.cells...) {
		for _, word := range strings.Fields(s) {
			n = max(n, width(word))
		}
	}
	return n
}
