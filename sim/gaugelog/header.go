package gaugelog

import (
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"kneepoint/internal/pattern"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// heading is what the header says of one column.
type heading struct {
	text string
	// time says that it is the time; else kind is empty for a column to leave out.
	time bool
	kind Kind
	unit string
	// stamp is a time that is none beside another one; absolute, a pressure from nothing up.
	stamp, absolute bool
}

func (h *heading) used() bool { return h.time || h.kind != "" }

func (h *heading) dim() si.Dimension {
	if h.time {
		return si.DimTime
	}
	return h.kind.Dimension()
}

// scale is the unit in SI.
func (h *heading) scale() (float64, bool) {
	if h.isClock() {
		return 1, true
	}
	v, err := si.Parse(h.dim(), "1 "+h.unit)
	return v, err == nil && h.unit != ""
}

func (h *heading) problem(read, want string) scenario.Problem {
	return scenario.Problem{Key: strings.TrimSpace(h.text), Read: read, Want: want}
}

func (h *heading) unitWant() string {
	examples := map[si.Dimension]string{
		si.DimTime: `"time [s]", time_s, "time [h:mm:ss]" or "time [mm:ss]"`, si.DimForce: `"pedal [lbf]" or pedal_n`, si.DimPressure: `"line [psi]" or line_pa`,
		si.DimVacuum: `"vacuum [inHg]" or vacuum_kpa`,
	}
	return fmt.Sprintf("the unit of %s behind the name, as in %s", h.dim(), examples[h.dim()])
}

// separatorOf is what stands between the columns of a header.
func separatorOf(header string) rune {
	for _, sep := range []rune{'\t', ';'} {
		if strings.ContainsRune(header, sep) {
			return sep
		}
	}
	return ','
}

// fields takes a line with quotes apart.
func fields(line string, separator rune) ([]string, error) {
	r := csv.NewReader(strings.NewReader(line))
	r.Comma, r.LazyQuotes, r.TrimLeadingSpace = separator, true, separator != '\t'
	r.FieldsPerRecord = -1
	return r.Read()
}

var bracketed = pattern.Lazy(`^(.*?)[\s_]*[\[(]([^\])]*)[\])]\s*$`)

// head reads one column of a header.
func head(text string) heading {
	text = strings.TrimSpace(text)
	h := heading{text: text}
	if m := bracketed().FindStringSubmatch(text); m != nil {
		h.measured(m[2])
		h.name(m[1])
		return h
	}
	h.name(text)
	if !h.used() {
		return h
	}
	// The longest ending that is a unit, and leaves a name of the same kind.
	for i, c := range text {
		if !strings.ContainsRune("_ ,/:-", c) {
			continue
		}
		rest := heading{text: text}
		rest.measured(strings.ReplaceAll(text[i+1:], "_", " "))
		rest.name(text[:i])
		if _, ok := rest.scale(); ok && rest.time == h.time && rest.kind == h.kind {
			return rest
		}
	}
	return h
}

var absoluteUnit = pattern.Lazy(`(?i)^(.*?)(?:\s*abs(?:olute)?|\s+a|\(a\)|(?:(psi|bar|kpa|mbar)a))$`)

// measured takes the unit, and whether it is of an absolute pressure.
func (h *heading) measured(unit string) {
	h.unit = strings.TrimSpace(unit)
	if m := absoluteUnit().FindStringSubmatch(h.unit); m != nil {
		h.unit, h.absolute = strings.TrimSpace(m[1]+m[2]), true
	}
}

var apart = pattern.Lazy(`[^a-z0-9]+`)

// name finds out what a column measures from the words of its name.
func (h *heading) name(text string) {
	words := strings.Fields(apart().ReplaceAllString(strings.ToLower(text), " "))
	has := func(any ...string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(any, w) })
	}
	switch {
	case has("valve", "travel", "position", "stroke", "flow", "temperature", "switch", "voltage", "volts"):
	case has("vacuum", "vac", "map", "abs", "absolute") || h.absolute:
		h.absolute = h.absolute || !has("vacuum", "vac")
		switch {
		case has("manifold", "engine", "intake", "source", "map"):
			h.kind = Manifold
		case has("hose"):
			h.kind = Hose
		case has("reservoir", "tank"):
			h.kind = Reservoir
		case has("working", "rear"):
			h.kind = Working
		case !h.absolute || has("booster", "front"):
			h.kind = Front
		default: // of what is not said
			h.absolute = false
		}
	case has("pedal", "foot"):
		h.kind = Pedal
	case has("line") || has("brake") && has("pressure"):
		h.kind = Line
		if has("rear") {
			h.kind = RearLine
		}
	case has("time", "t", "elapsed"):
		h.time = true
	case has("clock", "timestamp", "datetime"):
		h.time, h.stamp = true, true
	}
}

// units takes the units of the columns that have none yet from a row of them, and
// reports whether it is one.
func units(heads []heading, row []string) bool {
	if len(row) != len(heads) {
		return false
	}
	out := slices.Clone(heads)
	found := false
	for i := range out {
		if h := &out[i]; h.used() && h.unit == "" {
			h.measured(strings.Trim(strings.TrimSpace(row[i]), "[]()"))
			if _, ok := h.scale(); !ok {
				return false
			}
			found = true
		}
	}
	if found {
		copy(heads, out)
	}
	return found
}

// check says what is wrong with the header as a whole.
func check(heads []heading) []scenario.Problem {
	var problems []scenario.Problem
	seen := map[Kind]string{}
	times, gauges := 0, 0
	var names []string
	for i := range heads {
		h := &heads[i]
		names = append(names, strconv.Quote(shortened(h.text)))
		if !h.used() {
			continue
		}
		_, ok := h.scale()
		switch {
		case h.unit == "":
			problems = append(problems, h.problem("no unit", h.unitWant()))
		case !ok:
			problems = append(problems, h.problem("the unit "+strconv.Quote(shortened(h.unit)), h.unitWant()))
		}
		switch {
		case h.time:
			if times++; times > 1 {
				problems = append(problems, h.problem("a second column with the time", "one"))
			}
		case seen[h.kind] != "":
			problems = append(problems, h.problem("a second column with the "+string(h.kind),
				"one; "+strconv.Quote(seen[h.kind])+" has it already. Words such as manifold, hose, tank, rear or line tell gauges apart"))
		default:
			seen[h.kind] = h.text
			if h.kind != Pedal {
				gauges++
			}
		}
	}
	const mostNames = 8
	if len(names) > mostNames {
		names = append(names[:mostNames], "…")
	}
	if times == 0 {
		problems = append(problems, scenario.Problem{Key: "header", Read: strings.Join(names, ", "), Want: `a column with the time, such as "time [s]"`})
	}
	if gauges == 0 {
		problems = append(problems, scenario.Problem{Key: "header", Read: strings.Join(names, ", "), Want: `a column of a gauge, such as "front vacuum [inHg]" or "line [psi]"`})
	}
	return problems
}

func shortened(text string) string {
	const most = 40
	if r := []rune(strings.ToValidUTF8(text, "?")); len(r) > most {
		return string(r[:most]) + "…"
	}
	return strings.ToValidUTF8(text, "?")
}

// limits are the readings in SI that the gauge can show.
func (h *heading) limits() (low, high float64) {
	if h.absolute {
		return 0, 350e3
	}
	return h.kind.limits()
}
