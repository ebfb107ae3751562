package report

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// CSV writes one table as RFC 4180 describes it, with line feeds for line ends: the
// one named, or the first for "". The header is each column's key with the suffix of
// its unit; numbers are written to full precision, in SI or, for si.US, in psi, inHg,
// lbf and so on. What does not exist is an empty field. It fails when there is no such
// table, and for a number that is not finite.
func CSV(w io.Writer, ans answer.Answer, units si.System, table string) error {
	t, err := pick(ans.Tables(), table)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	record := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		record[i] = c.Key + c.Dim.Unit(units).KeySuffix
	}
	if err := out.Write(record); err != nil {
		return err
	}
	for r, row := range t.Rows {
		if len(row) != len(t.Columns) {
			return fmt.Errorf("table %q, row %d: %d cells for %d columns", t.Name, r+1, len(row), len(t.Columns))
		}
		for i, c := range t.Columns {
			if record[i], err = field(t, r, c, row[i], units); err != nil {
				return err
			}
		}
		if err := out.Write(record); err != nil {
			return err
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return err
	}
	return writeInert(w, b.String())
}

// A NoTableError says that an answer has no table of a name.
type NoTableError struct {
	Name string
	// There are the names of those that there are.
	There []string
}

func (e *NoTableError) Error() string {
	if len(e.There) == 0 {
		return "this result has no table"
	}
	return fmt.Sprintf("no table %q; there is %s", e.Name, e.Choice())
}

// Choice names the tables that there are.
func (e *NoTableError) Choice() string {
	names := make([]string, len(e.There))
	for i, name := range e.There {
		names[i] = strconv.Quote(name)
	}
	return strings.Join(names, ", ")
}

// pick finds a table by its name, in which a dash may stand for a space.
func pick(tables []answer.Table, name string) (answer.Table, error) {
	if name == "" && len(tables) > 0 {
		return tables[0], nil
	}
	names := make([]string, len(tables))
	for i, t := range tables {
		if t.Name == name || strings.EqualFold(strings.ReplaceAll(t.Name, " ", "-"), strings.ReplaceAll(name, " ", "-")) {
			return t, nil
		}
		names[i] = t.Name
	}
	return answer.Table{}, &NoTableError{name, names}
}

func field(t answer.Table, row int, c answer.Column, value answer.Cell, units si.System) (string, error) {
	switch v := value.(type) {
	case nil:
		return "", nil
	case float64:
		n := si.Convert(c.Dim, v, units)
		if math.IsNaN(n) || math.IsInf(n, 0) {
			return "", fmt.Errorf("table %q, row %d, column %q: %g is not a number to write", t.Name, row+1, c.Key, v)
		}
		return shortest(n), nil
	case int:
		return strconv.Itoa(v), nil
	case bool:
		return strconv.FormatBool(v), nil
	case string:
		return noFormula(v), nil
	case answer.Phrase:
		return noFormula(v(units)), nil
	}
	return "", cellError(t, row, c, value)
}

// shortest is the least text that reads back as v, without exponent in the range of
// everyday figures, as in JSON.
func shortest(v float64) string {
	if size := math.Abs(v); size != 0 && (size < 1e-6 || size >= 1e21) {
		return strconv.FormatFloat(v, 'e', -1, 64)
	}
	return strconv.FormatFloat(v+0, 'f', -1, 64) // + 0 turns -0 into 0
}
