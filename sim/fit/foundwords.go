package fit

import (
	"fmt"
	"strconv"
	"strings"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// leftOutWords name what stands in the logs and was not used, and so many dropouts one by one.
func (r *Result) leftOutWords(most int) []string {
	var words []string
	for i, d := range r.fit.logs {
		if text := d.leftOut(); text != "" {
			if name := r.fit.nameOf(i); name != "" {
				text = name + ": " + text
			}
			words = append(words, text)
		}
	}
	if len(r.Outliers) == 0 {
		return words
	}
	var parts []string
	for _, o := range r.Outliers[:min(most, len(r.Outliers))] {
		parts = append(parts, fmt.Sprintf("%s in line %d, %s at %s s", o.text, o.Line, strconv.Quote(o.Gauge), strconv.FormatFloat(si.Significant(o.Time, 5), 'f', -1, 64)))
	}
	total := len(r.Outliers)
	for _, d := range r.fit.logs {
		total += d.log.MoreSpikes
	}
	text := count(total, "reading") + " left out, as a gauge's dropout (it jumped there and back, by far more than it scatters): " + strings.Join(parts, "; ")
	if total > most {
		text += fmt.Sprintf("; and %d more, with --format csv --table \"%s\"", total-most, outlierName)
	}
	return append(words, text+".")
}

const outlierName = "readings left out"

func (r *Result) outlierTable() answer.Table {
	t := answer.Table{Name: outlierName, Detail: true, Columns: []answer.Column{
		{Key: "log", Title: "log"}, {Key: "line", Title: "line"}, {Key: "gauge", Title: "gauge"}, {Key: "time", Title: "time", Dim: si.DimTime}, {Key: "reading", Title: "reading"},
	}}
	for _, o := range r.Outliers {
		t.Rows = append(t.Rows, []answer.Cell{o.Log, o.Line, o.Gauge, o.Time, o.text})
	}
	return t
}

// foundWords say what the program found by itself, what the answer rests on now, and what it
// would be without.
func (r *Result) foundWords(u si.System) []string {
	var words []string
	for i := range r.Added {
		words = append(words, r.addedWords(&r.Added[i], u))
	}
	if len(r.Added) > 0 {
		words = append(words, "The figures above rest on what was added. Without it: "+valuesOf(r.without, u)+".")
	}
	if f := r.Fault; f != nil {
		text := fmt.Sprintf("With %s the model misses %q by %s (rms) in place of %s.", f.named(u), f.Gauge, f.rms(f.After, u), f.rms(f.Before, u))
		text += f.rivalWords(u) + " A log alone is no diagnosis: `kneepoint diagnose` with this car and --ask finds out by tests whether it is that fault. To fit it to this log, give `--find` the same unknowns and " + f.Found[0].Name + "."
		words = append(words, text)
	}
	return words
}

func (r *Result) addedWords(p *Proposal, u si.System) string {
	first := &p.Found[0]
	text := p.named(u)
	if says := means(first.Name); says != "" {
		text += " (" + says + ")"
	}
	text = "Found by the program and added to the unknowns: " + text
	if e := p.candidate.entry; e != nil {
		text += fmt.Sprintf(", where the scenario leaves it at a default of %s", e.Text(u))
	}
	text += fmt.Sprintf(". With it the model misses %q by %s (rms), without it by %s.", p.Gauge, p.rms(p.After, u), p.rms(p.Before, u))
	if e := p.candidate.entry; e != nil && e.HowToMeasure != "" {
		text += " Measure it and put it into the scenario: " + e.HowToMeasure + "."
	}
	return text + p.rivalWords(u)
}

// rivalWords name what would explain the log about as well, and what would follow from it.
func (p *Proposal) rivalWords(u si.System) string {
	text, faults := "", false
	for i := range p.Rivals {
		rival := &p.Rivals[i]
		kind := ""
		if rival.Cause == ByFault {
			kind, faults = "the fault ", true
		}
		text += fmt.Sprintf(" This log does not tell it from %s%s; then %s.", kind, rival.named(u), valuesOf(rival.Others, u))
	}
	if faults && p.Cause != ByFault {
		text += " `kneepoint diagnose` with this car and --ask finds out by tests whether it is a fault."
	}
	return text
}

// named are a cause's unknowns with their values.
func (p *Proposal) named(u si.System) string {
	if p.Cause == ByFault {
		return p.Found[0].Name + " (" + severe(&p.Found[0].unknown, p.Found[0].Value, u) + ")"
	}
	return valuesOf(p.Found, u)
}

// orFaults are the fault and those that do as well.
func (p *Proposal) orFaults(u si.System) string {
	text := p.named(u)
	for i := range p.Rivals {
		if p.Rivals[i].Cause == ByFault {
			text += " or " + p.Rivals[i].named(u)
		}
	}
	return text
}

func (p *Proposal) rms(v float64, u si.System) string {
	return rounded(p.dim, v, 2, u)
}

func valuesOf(values []Named, u si.System) string {
	var parts []string
	for i := range values {
		n := &values[i]
		parts = append(parts, n.Of+" "+fitted(n.Dim, n.Value, n.Value/50, u))
	}
	return strings.Join(parts, ", ")
}
