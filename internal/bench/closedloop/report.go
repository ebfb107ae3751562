package main

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"kneepoint/scenarios"
	"kneepoint/sim/scenario"
)

type options struct {
	cars, orders int
	seed         uint64
	verbose      bool
	plot         string // file of the reliability diagram, "" for none
	now          time.Time
}

// kinds are the scenarios that the cars are built on.
var kinds = []string{"stock-ten-inch", "big-cam-nine", "bench-tandem", "mountain"}

// open reads a starter scenario.
func open(name string) (*scenario.Scenario, error) {
	text, err := scenarios.Read(name)
	if err != nil {
		return nil, err
	}
	return scenario.Read(bytes.NewReader(text), name+".toml")
}

func report(ctx context.Context, o options) (string, error) {
	began := time.Now()
	var trials []*trial
	var loops []*loop
	each := (o.cars + len(kinds) - 1) / len(kinds)
	for i, kind := range kinds {
		s, err := open(kind)
		if err != nil {
			return "", err
		}
		l, err := newLoop(ctx, s, o.seed+uint64(i))
		if err != nil {
			return "", fmt.Errorf("%s: %w", kind, err)
		}
		loops = append(loops, l)
		t, err := l.run(ctx, each)
		if err != nil {
			return "", fmt.Errorf("%s: %w", kind, err)
		}
		trials = append(trials, t...)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "# Closed loop of `diagnose`, %s\n\n", o.now.Format(time.DateOnly))
	fmt.Fprintf(&b, "`go -C internal/bench run ./closedloop -cars %d -seed %d`: %d cars, built on %s, %.0f s.\n\n",
		o.cars, o.seed, len(trials), strings.Join(kinds, ", "), time.Since(began).Seconds())
	b.WriteString("Every car has areas ±8 %, volumes ±15 %, springs ±20 %, friction × 0.5–2 and brakes that take\n" +
		"±15 % more or less fluid, a vacuum gauge that is\n" +
		"up to 0.5 inHg out, and a pedal force up to 3 % out, all evenly drawn; readings scatter evenly over their gauge's\n" +
		"error and are rounded as read. Severities lie evenly from 0.05 to 1. The recommended test is done until none is\n" +
		"recommended; tests and minutes are those until an answer first had 95 %, or to the end. A fault counts as right where every test, done on the car as written, differs by\n" +
		"less than its gauge's error from what the answer gives; a fault not in the list is right to be called unexplained.\n" +
		"Intervals are 95 %, by Wilson's score.\n\n")
	b.WriteString("Of the faults not in the list, reaction disc, hub and plunger spring lie, in part, along figures that a diagnosis takes\n" +
		"to be far off when it judges whether something else is wrong; a lost circuit lies along none.\n\n")
	b.WriteString("| cars | number | right answer first | among the first three | tests | minutes |\n|---|---|---|---|---|---|\n")
	row := func(name string, t []*trial) {
		if len(t) == 0 {
			return
		}
		tests, minutes := 0.0, 0.0
		for _, x := range t {
			tests += float64(x.tests) / float64(len(t))
			minutes += x.minutes / float64(len(t))
		}
		fmt.Fprintf(&b, "| %s | %d | %s | %s | %.2f | %.1f |\n", name, len(t), percent(within(t, 1)), percent(within(t, 3)), tests, minutes)
	}
	row("all", trials)
	row("all whose fault is in the list", filter(trials, inList))
	for _, kind := range []string{single, pair, outside, sound} {
		row(kind, filter(trials, func(t *trial) bool { return t.car.kind == kind }))
	}
	byFault := map[string][]*trial{}
	for _, t := range trials {
		if t.car.kind == single || t.car.kind == outside {
			byFault[t.car.name] = append(byFault[t.car.name], t)
		}
	}
	for _, name := range slices.Sorted(maps.Keys(byFault)) {
		row(name, byFault[name])
	}
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
	if o.orders > 0 {
		if err := writeOrders(ctx, &b, loops[0], o.orders); err != nil {
			return "", err
		}
	}
	b.WriteString("\n## Faults that no test tells apart\n\nOn " + kinds[0] + ", every test differs by less than its gauge's error.\n\n| fault | from | severity |\n|---|---|---|\n")
	for _, a := range loops[0].library.Indistinguishable() {
		fmt.Fprintf(&b, "| %s | %s | %.2f–%.2f |\n", a.Fault, a.From, a.Low, a.High)
	}
	if o.verbose {
		misses(&b, trials)
	}
	return b.String(), nil
}

func inList(t *trial) bool { return t.car.kind != outside }

// wanted says whether what was asked for is met: where there is a true fault to
// name, and with the cars in which none of the list is true.
func wanted(b *strings.Builder, trials []*trial) {
	met := map[bool]string{true: "met", false: "missed"}
	for _, x := range []struct {
		name   string
		trials []*trial
	}{{"Cars whose fault is in the list", filter(trials, inList)}, {"All cars", trials}} {
		ece := calibrationError(reliability(x.trials))
		fmt.Fprintf(b, "\n%s: first in at least 85 %% (%s), among the first three in at least 97 %% (%s), calibration error at most 0.05 (%.3f, %s).\n",
			x.name, met[within(x.trials, 1).value() >= 0.85], met[within(x.trials, 3).value() >= 0.97], ece, met[ece <= 0.05])
	}
}

func percent(s share) string {
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
		if t.rank == 1 {
			continue
		}
		text := t.car.kind + ": " + t.car.name
		for _, f := range t.car.faults {
			text += fmt.Sprintf(" %.2f", float64(severityOf(f)))
		}
		for _, s := range t.said[:min(3, len(t.said))] {
			text += fmt.Sprintf("; %s %.2f", s.name, s.p)
		}
		fmt.Fprintf(b, "- rank %d: %s (counts %s)\n", t.rank, text, strings.Join(t.counts, ", "))
	}
}
