package main

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"kneepoint/internal/diagnose"
	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

type options struct {
	cars    int
	seed    uint64
	verbose bool
	plot    string // file of the reliability diagram, "" for none
	now     time.Time
}

func report(ctx context.Context, o options) (string, error) {
	began := time.Now()
	var loops []*loop
	var raised []string
	for i, kind := range kinds {
		s, err := open(kind)
		if err != nil {
			return "", err
		}
		s, isRaised, err := withEnough(ctx, s)
		if err != nil {
			return "", err
		}
		if isRaised {
			raised = append(raised, kind)
		}
		l, err := newLoop(ctx, s, o.seed+uint64(i))
		if err != nil {
			return "", fmt.Errorf("%s: %w", kind, err)
		}
		l.watched = o.verbose
		loops = append(loops, l)
	}
	trials, err := run(ctx, loops, o.cars)
	if err != nil {
		return "", err
	}
	took := time.Since(began)
	var b strings.Builder
	fmt.Fprintf(&b, "# Closed loop of `diagnose`, %s\n\n", o.now.Format(time.DateOnly))
	fmt.Fprintf(&b, "`go -C internal/bench run ./closedloop -cars %d -seed %d`: %d cars, built on %s, %.0f s.\n\n",
		o.cars, o.seed, len(trials), strings.Join(kinds, ", "), took.Seconds())
	if len(trials) < o.cars {
		b.WriteString("It was interrupted: the cars are the first of the run.\n\n")
	}
	b.WriteString("Every car has areas ±8 %, volumes ±15 %, springs ±20 %, friction × 0.5–2, a source ±3 % and brakes that take\n" +
		"±15 % more or less fluid; every technician has gauges that are out by an amount of their own, ears of his own, misses 1 to 15 % of\n" +
		"the signs and reports 0.5 to 6 % of those that are not there; every driver complains of what changed most, one in ten of something else.\n" +
		"Faults come equally often, severities lie evenly from 0.05 to 1. The recommended test is done until the first repair has 95 % or no\n" +
		"test is worth its minutes, as an interview does. That repair is right if the car has a fault that it mends. A fault counts as right where every test, done on the car as written, differs by\n" +
		"less than its gauge's error from what the answer gives; a fault not in the list is right to be called unexplained.\n" +
		"A side is asked of single faults. Intervals are 95 %, by Wilson's score.\n\n")
	fmt.Fprintf(&b, "Every car has vacuum enough for its hard stop, by `curve`, unless what was drawn for it takes that away: the engines of %s, which are short as they are\n"+
		"written, have %.0f %% more than `curve` asks for, and a car whose own figures leave it short is drawn again.\n\n", strings.Join(raised, " and "), 100*(toSpare-1))
	b.WriteString("| cars | number | right answer first | among the first three | first repair | right side | tests | minutes |\n|---|---|---|---|---|---|---|---|\n")
	row := func(name string, t []*trial) {
		if len(t) == 0 {
			return
		}
		tests, minutes := 0.0, 0.0
		for _, x := range t {
			tests += float64(len(x.readings)) / float64(len(t))
			minutes += x.minutes / float64(len(t))
		}
		fmt.Fprintf(&b, "| %s | %d | %s | %s | %s | %s | %.2f | %.1f |\n", name, len(t), percent(within(t, 1)), percent(within(t, 3)), percent(count(t, (*trial).startsRight)), percent(sides(t)), tests, minutes)
	}
	row("all", trials)
	row("all whose fault is in the list", filter(trials, inList))
	for _, kind := range []string{single, pair, outside, sound} {
		row(kind, filter(trials, func(t *trial) bool { return t.car.kind == kind }))
	}
	row("of these unlike all that a diagnosis thinks of", filter(trials, func(t *trial) bool { return t.car.strange }))
	byFault := map[string][]*trial{}
	for _, t := range trials {
		if t.car.kind == single || t.car.kind == outside {
			byFault[t.car.name] = append(byFault[t.car.name], t)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(byFault)) {
		row(name, byFault[name])
	}
	fmt.Fprintf(&b, "\nThe first repair was stated with %.3f on average, with a calibration error of %.3f. The first answer names nothing that the car\n"+
		"does not have in %s: one of two faults counts there.\n",
		meanBegins(trials), calibrationError(repairsRight(trials)), percent(count(trials, (*trial).namesOnlyWhatIs)))
	wanted(&b, trials)
	bins := reliability(trials)
	if o.plot != "" {
		note := fmt.Sprintf("%d synthetic cars, seed %d; bins of 10 %%, right as the report has it.", len(trials), o.seed)
		if err := draw(diagram(bins, note), o.plot); err != nil {
			return "", err
		}
	}
	fmt.Fprintf(&b, "\n## Are the probabilities calibrated?\n\nExpected calibration error of the first answer: %.3f; of every answer above 2 %% (several can be right for one car, so these need not agree): %.3f.\n\n",
		calibrationError(bins), calibrationError(answersRight(trials)))
	b.WriteString("| first answer stated as | number | mean stated | right |\n|---|---|---|---|\n")
	for _, x := range bins {
		if x.of > 0 {
			fmt.Fprintf(&b, "| %.0f–%.0f %% | %d | %.3f | %s |\n", 100*x.low, 100*x.high, x.of, x.sum/float64(x.of), percent(x.share))
		}
	}
	b.WriteString("\nHow often each sort of answer is stated, in all, and how often it is right:\n\n| | stated | right |\n|---|---|---|\n")
	sums := stated(trials)
	for _, sort := range sorts {
		right := count(trials, func(t *trial) bool { return t.sort() == sort })
		fmt.Fprintf(&b, "| %s | %.1f %% | %.1f %% |\n", sort, 100*sums[sort]/float64(len(trials)), 100*right.value())
	}
	b.WriteString("\n## Faults that no test tells apart\n\nOn " + kinds[0] + ", every test differs by less than its gauge's error.\n\n| fault | from | severity |\n|---|---|---|\n")
	for _, a := range loops[0].library.Indistinguishable() {
		fmt.Fprintf(&b, "| %s | %s | %.2f–%.2f |\n", a.Fault, a.From, a.Low, a.High)
	}
	if len(trials) == o.cars {
		shorts, err := shortTrials(ctx, o.seed, o.cars/10)
		if err != nil {
			return "", err
		}
		shortTable(&b, shorts)
	}
	if o.verbose {
		misses(&b, trials)
	}
	return b.String(), nil
}

func (t *trial) startsRight() bool { return t.begun }

// meanBegins is with what chance the first repair was stated.
func meanBegins(trials []*trial) float64 {
	sum := 0.0
	for _, t := range trials {
		sum += t.begins
	}
	return sum / float64(len(trials))
}

func inList(t *trial) bool { return t.car.kind != outside }

// wanted says whether what was asked for is met.
func wanted(b *strings.Builder, trials []*trial) {
	b.WriteString("\n| wanted | of | found | |\n|---|---|---|---|\n")
	line := func(what string, of int, found string, ok bool) {
		met := "missed"
		if ok {
			met = "met"
		}
		fmt.Fprintf(b, "| %s | %d | %s | %s |\n", what, of, found, met)
	}
	atLeast := func(what string, s share, least float64) {
		line(fmt.Sprintf("%s in at least %.0f %%", what, 100*least), s.of, percent(s), s.value() >= least)
	}
	listed := filter(trials, inList)
	healthy := filter(trials, func(t *trial) bool { return t.car.kind == sound })
	atLeast("right answer first, all cars", within(trials, 1), 0.90)
	atLeast("right answer first, fault in the list", within(listed, 1), 0.90)
	atLeast("among the first three, all cars", within(trials, 3), 0.97)
	atLeast("among the first three, fault in the list", within(listed, 3), 0.97)
	atLeast("right side, single faults", sides(trials), 0.97)
	atLeast("sound cars called sound", within(healthy, 1), 0.90)
	parts := count(healthy, func(t *trial) bool { return t.parts })
	line("sound cars said to need parts, at most 2 %", parts.of, percent(parts), parts.value() <= 0.02)
	ece := calibrationError(reliability(trials))
	line("calibration error at most 0.03", len(trials), fmt.Sprintf("%.3f", ece), ece <= 0.03)
	tests := 0.0
	for _, t := range trials {
		tests += float64(len(t.readings)) / float64(len(trials))
	}
	line("tests and signs, at most 5", len(trials), fmt.Sprintf("%.2f", tests), tests <= 5)
	missed := count(filter(trials, dangerous), func(t *trial) bool { return t.said[0].name == diagnose.NoFault && t.said[0].p >= 0.8 })
	line("cars that must not be driven called sound with 80 % or more, none", missed.of, percent(missed), missed.hits == 0)
}

// dangerous says that a car has a fault with which nobody should drive, large enough to tell.
func dangerous(t *trial) bool {
	if strings.HasSuffix(t.car.name, "circuit lost") {
		return true
	}
	for _, f := range t.car.faults {
		switch f.Name {
		case sim.FaultCaliperSeized, sim.FaultMasterBypass, sim.FaultOutsideLeak, sim.FaultFluidBoiled, sim.FaultReturnPortCovered, sim.FaultHoseBlocked, sim.FaultLineBlocked:
			if severityOf(f) >= 0.3 {
				return true
			}
		}
	}
	return false
}

func severityOf(f sim.Fault) float64 { return float64(workshop.SeverityOf(f)) }

// count is the share of trials of which something holds.
func count(trials []*trial, holds func(*trial) bool) share {
	return share{len(filter(trials, holds)), len(trials)}
}

// sides is the share of right sides among the trials that have one.
func sides(trials []*trial) share {
	var s share
	for _, t := range trials {
		if right, ok := t.rightSide(); ok {
			s.of++
			if right {
				s.hits++
			}
		}
	}
	return s
}

func percent(s share) string {
	if s.of == 0 {
		return "–"
	}
	low, high := s.interval()
	return fmt.Sprintf("%.1f %% (%.1f–%.1f)", 100*s.value(), 100*low, 100*high)
}

func filter(trials []*trial, keep func(*trial) bool) []*trial {
	var out []*trial
	for _, t := range trials {
		if keep(t) {
			out = append(out, t)
		}
	}
	return out
}

func misses(b *strings.Builder, trials []*trial) {
	b.WriteString("\n## Misses\n\n")
	for _, t := range trials {
		if t.rank != 1 {
			fmt.Fprintf(b, "- %s\n", t.words())
		}
	}
}

// words are what the car was, what was said of it, and what was read.
func (t *trial) words() string {
	text := fmt.Sprintf("rank %d: %s: %s", t.rank, t.car.kind, t.car.name)
	for _, f := range t.car.faults {
		text += fmt.Sprintf(" %.2f", severityOf(f))
	}
	text += fmt.Sprintf(" (%s)", t.complaint)
	for _, s := range t.said[:min(3, len(t.said))] {
		text += fmt.Sprintf("; %s %.2f", s.name, s.p)
	}
	var read []string
	for _, r := range t.readings {
		if trial, err := workshop.TrialOf(r); err == nil {
			answer := trial.Print(trial.Read(r), si.US)
			if r.CantTell {
				answer = diagnose.CantTell
			}
			read = append(read, trial.Words(si.US)+" = "+answer)
		}
	}
	return fmt.Sprintf("%s (counts %s)\n  %s", text, strings.Join(t.counts, ", "), strings.Join(read, "; "))
}
