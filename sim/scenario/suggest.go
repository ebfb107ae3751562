package scenario

import (
	"strings"

	"kneepoint/internal/pattern"
)

var elementPath = pattern.Lazy(`^([a-z_]+)\[(\d+)\]\.(.*)$`)

// suggestKey is nearestKey as long as its answer will be shown.
func suggestKey(path string, problems int) string {
	if problems >= mostProblems {
		return "a known key"
	}
	return nearestKey(path)
}

// nearestKey says which known key an unknown one may have been meant to be.
func nearestKey(path string) string {
	table, index := "", ""
	bare := path
	if known := synonymOf(path); known != "" {
		return "a known key, perhaps " + known
	}
	if m := elementPath().FindStringSubmatch(path); m != nil {
		table, index = m[1], "["+m[2]+"]"
		bare = m[1] + "." + m[3]
	}
	best, bestCost := "", 1<<30
	for i := range keys {
		known := keys[i].path
		off := distance(leaf(bare), leaf(known))
		if off > 1+len(leaf(known))/3 {
			continue
		}
		// The right name in the wrong table is a common slip, however far the
		// table is; a wrong name in a wrong table is not.
		cost := off
		switch {
		case stem(bare) == stem(known):
		case off == 0:
			cost = min(3, distance(bare, known))
		default:
			cost = 1 + distance(bare, known)
		}
		if cost < bestCost && cost <= 4 {
			best, bestCost = known, cost
		}
	}
	if best == "" {
		return `a key that "kneepoint keys" lists`
	}
	if name, rest, ok := strings.Cut(best, "."); ok && repeated(name) {
		if name != table {
			index = "[0]"
		}
		best = name + index + "." + rest
	}
	return "a known key, perhaps " + best
}

// nearestTable says which known table an unknown one may have been meant to be.
func nearestTable(path string) string {
	if known := synonymOf(path); known != "" && isTable(known) {
		return "a known one, perhaps [" + known + "]"
	} else if known != "" {
		return "its key, " + known
	}
	best, bestCost := "", 1<<30
	for _, known := range tableNames() {
		cost := distance(path, known)
		if leaf(path) == leaf(known) || strings.HasSuffix(path, "."+known) {
			cost = min(cost, 2)
		}
		if cost < bestCost && cost <= 2+len(known)/4 {
			best, bestCost = known, cost
		}
	}
	switch {
	case best == "":
		return `a table that "kneepoint keys" lists`
	case repeated(best):
		return "a known one, perhaps [[" + best + "]]"
	}
	return "a known one, perhaps [" + best + "]"
}

// Nearest returns which of some words one may have been meant to be; empty for none.
func Nearest(word string, of []string) string {
	best, bestCost := "", 1<<30
	for _, known := range of {
		if cost := distance(strings.ToLower(word), known); cost < bestCost && cost <= 1+len(known)/4 {
			best, bestCost = known, cost
		}
	}
	return best
}

func leaf(path string) string { return path[strings.LastIndexByte(path, '.')+1:] }

func stem(path string) string { return strings.TrimSuffix(path, leaf(path)) }

// distance is the number of letters to put in, take out or change that leads
// from a to b, counting no further than needed for a suggestion.
func distance(a, b string) int {
	const long = 80
	if len(a) > long || len(b) > long {
		return long
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(a); i++ {
		diagonal := row[0]
		row[0] = i
		for j := 1; j <= len(b); j++ {
			change := diagonal
			if a[i-1] != b[j-1] {
				change++
			}
			diagonal = row[j]
			row[j] = min(change, row[j]+1, row[j-1]+1)
		}
	}
	return row[len(b)]
}
