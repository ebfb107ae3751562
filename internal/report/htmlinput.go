//go:build !js

package report

// An inputGroup is a table of inputs on a page.
type inputGroup struct {
	ID, Caption string
	// FromHead is the head of the column that says where a value is from.
	FromHead string
	Rows     []inputRow
}

type inputRow struct {
	Input
	// Full are the SI values beside the text, for a program.
	Full []string
}

func inputGroups(p Page) []inputGroup {
	groups := []inputGroup{
		{ID: "inputs-given", Caption: "Given", FromHead: "set in", Rows: inputRows(p.Given)},
		{ID: "inputs-assumed", Caption: "Assumed, since not given", FromHead: "basis", Rows: inputRows(p.Assumed)},
	}
	var filled []inputGroup
	for _, g := range groups {
		if len(g.Rows) > 0 {
			filled = append(filled, g)
		}
	}
	return filled
}

func inputRows(inputs []Input) []inputRow {
	var rows []inputRow
	for _, in := range inputs {
		r := inputRow{Input: in}
		for _, v := range in.SI {
			r.Full = append(r.Full, fullValue(v))
		}
		rows = append(rows, r)
	}
	return rows
}
