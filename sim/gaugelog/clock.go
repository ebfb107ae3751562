package gaugelog

import (
	"slices"
	"strconv"
	"strings"

	"kneepoint/internal/pattern"
)

const day = 24 * 3600.0

// clockUnit is how a header names a time that is written as a clock shows it.
var clockUnit = pattern.Lazy(`(?i)^(?:h{1,2}:mm(?::ss(?:[.,][s0f]+)?)?|m{1,2}:ss(?:[.,][s0f]+)?)$`)

// clockReading is a time of day, or of a stop watch; a date before it and a zone behind it
// say nothing that a log of some minutes needs.
var clockReading = pattern.Lazy(`(?i)^(?:\S+[ T])?(\d{1,2}):(\d\d)(?::(\d\d(?:[.,]\d+)?))?(?:([.,]\d+))?\s*([ap]\.?m\.?)?(?:\s*(?:z|[+-]\d\d:?\d\d))?$`)

// clock reads a time in s as a clock shows it; what two figures alone are the header's unit
// has to say.
func clock(text, unit string) (seconds float64, ok bool) {
	m := clockReading().FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, false
	}
	// By three figures the last has the fraction, by two a fraction stands alone.
	leading, next, last, fraction, half := m[1], m[2], m[3], m[4], strings.ToLower(m[5])
	first, _ := strconv.ParseFloat(leading, 64)
	second, _ := strconv.ParseFloat(next+strings.Replace(fraction, ",", ".", 1), 64)
	unit = strings.ToLower(unit)
	switch {
	case last != "" && fraction == "":
		third, _ := strconv.ParseFloat(strings.Replace(last, ",", ".", 1), 64)
		switch {
		case strings.HasPrefix(half, "p") && first < 12:
			first += 12
		case strings.HasPrefix(half, "a") && first == 12:
			first = 0
		}
		seconds = 3600*first + 60*second + third
		return seconds, second < 60 && third < 60
	case last == "" && strings.HasPrefix(unit, "m"):
		return 60*first + second, second < 60
	case last == "" && fraction == "" && strings.HasPrefix(unit, "h") && !strings.Contains(unit, "s"):
		return 3600*first + 60*second, second < 60
	}
	return 0, false
}

// isClock says that the column's times are written as a clock shows them.
func (h *heading) isClock() bool { return h.time && clockUnit().MatchString(h.unit) }

// byClock gives a column with the time its unit where the first row shows a clock, by three
// figures: two may be hours and minutes, or minutes and seconds.
func byClock(heads []heading, row []string) {
	for i := range heads {
		if h := &heads[i]; h.time && h.unit == "" && i < len(row) && strings.Count(row[i], ":") >= 2 {
			h.unit = "h:mm:ss"
		}
	}
}

// inDoubtNone leaves out columns that are read only where no other one has the same: the time
// by a clock, and a vacuum that an absolute pressure gives.
func inDoubtNone(heads []heading) {
	for i := range heads {
		h := &heads[i]
		twin := func(o heading) bool {
			return h.stamp && o.time && !o.stamp || h.absolute && o.kind == h.kind && !o.absolute
		}
		if slices.ContainsFunc(heads, twin) {
			*h = heading{text: h.text}
		}
	}
}
