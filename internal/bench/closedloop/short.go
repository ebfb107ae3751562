package main

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"kneepoint/internal/diagnose"
	"kneepoint/sim"
)

// Cars that are short of vacuum as they are written carry that beside what was drawn. They are no
// part of the fleet: what is said of them is counted by itself.

// shortTrials are so many cars of the kinds that are short as they are written.
func shortTrials(ctx context.Context, seed uint64, cars int) ([]*trial, error) {
	var loops []*loop
	for i, kind := range kinds {
		s, err := open(kind)
		if err != nil {
			return nil, err
		}
		short, err := isShort(ctx, s, s.Config)
		if err != nil {
			return nil, err
		}
		if !short {
			continue
		}
		l, err := newLoop(ctx, s, seed+uint64(len(kinds)+i))
		if err != nil {
			return nil, fmt.Errorf("%s: %w", kind, err)
		}
		l.short = true
		l.faults = slices.DeleteFunc(l.faults, func(f sim.FaultName) bool { return f == sim.FaultLowSourceVacuum })
		loops = append(loops, l)
	}
	return run(ctx, loops, cars)
}

// place is that of the first answer which names one of some faults, alone or beside another,
// from 1; 0 if none does.
func (t *trial) place(faults ...string) int {
	for i, s := range t.said {
		if slices.ContainsFunc(strings.Split(s.names, " + "), func(f string) bool { return slices.Contains(faults, f) }) {
			return i + 1
		}
	}
	return 0
}

// other are the names that the fault beside the shortage counts as; none where it does not show.
func (t *trial) other() []string {
	if slices.Contains(t.counts, diagnose.NoFault) {
		return nil
	}
	return t.counts
}

// shortTable tells of cars that are short of vacuum and have another fault beside.
func shortTable(b *strings.Builder, trials []*trial) {
	const low = string(sim.FaultLowSourceVacuum)
	shows := filter(trials, func(t *trial) bool { return t.other() != nil })
	hidden := filter(trials, func(t *trial) bool { return t.other() == nil })
	near := func(place int) bool { return place > 0 && place <= 3 }
	b.WriteString("\n## Cars short of vacuum as they are written, with another fault beside\n\n" +
		"They are no part of the fleet above. Vacuum, or the other fault, is named where an answer has it alone or in a pair.\n\n" +
		"| | of | |\n|---|---|---|\n")
	row := func(what string, s share) { fmt.Fprintf(b, "| %s | %d | %s |\n", what, s.of, percent(s)) }
	row("the vacuum is said not to be enough", count(trials, func(t *trial) bool { return t.saidShort }))
	row("the vacuum is named first, where the other fault shows in no test", count(hidden, func(t *trial) bool { return t.place(low) == 1 }))
	row("the vacuum is named first, where it shows", count(shows, func(t *trial) bool { return t.place(low) == 1 }))
	row("the other fault is named first, where it shows", count(shows, func(t *trial) bool { return t.place(t.other()...) == 1 }))
	row("the other fault is in the first three, where it shows", count(shows, func(t *trial) bool { return near(t.place(t.other()...)) }))
	row("one of the two is first and the other in the first three, where it shows", count(shows, func(t *trial) bool {
		vacuum, other := t.place(low), t.place(t.other()...)
		return near(vacuum) && near(other) && min(vacuum, other) == 1
	}))
}
