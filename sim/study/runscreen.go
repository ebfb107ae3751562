package study

import (
	"fmt"

	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Screen says what the strongest and the weakest press did, with the first presses in a table.
func (r *RunResult) Screen(u si.System) answer.Screen {
	s := answer.Screen{
		Next:    "see it over time",
		Command: answer.Command{Verb: "run", Args: []string{"--plot", "run.png"}},
	}
	t := r.pressTable()
	if len(t.Rows) == 0 {
		s.Verdict = tidy(append([]string{"No press is over by the end of this run."}, r.eventWords()...)...)
		s.DependsOn = "what is pressed, and when: the presses and events of the scenario"
		return s
	}
	weak, strong := 0, 0
	for i := range t.Rows {
		if at := r.held(i).Deceleration; at < r.held(weak).Deceleration {
			weak = i
		} else if at > r.held(strong).Deceleration {
			strong = i
		}
	}
	text := r.pressWords(strong, u)
	if slowing(r.held(weak).Deceleration, u) != slowing(r.held(strong).Deceleration, u) {
		text = fmt.Sprintf("%d presses: the strongest slows the car at %s, the weakest, at %s, at %s.", len(t.Rows),
			slowing(r.held(strong).Deceleration, u), si.Seconds(r.plan.Presses[weak].At), slowing(r.held(weak).Deceleration, u))
	} else if n := len(t.Rows); n > 1 {
		text = fmt.Sprintf("All %d presses slow the car alike, at %s.", n, slowing(r.held(strong).Deceleration, u))
	}
	s.Verdict = []string{text}
	if events := r.eventWords(); len(events) > 0 {
		s.Verdict[0] += " " + events[0]
	}
	if len(t.Rows) > 1 {
		t.Rows = t.Rows[:min(len(t.Rows), mostSaid)]
		s.Table = &t
	}
	s.DependsOn = r.dependsOn(strong, weak)
	return s
}

// dependsOn says how much of the push on the master cylinder is the booster's.
func (r *RunResult) dependsOn(strong, weak int) string {
	share := func(i int) string { return percent(r.held(i).Assist()) }
	switch {
	case r.config.Booster.Kind == sim.BoosterNone:
		return "the foot, since there is no booster"
	case share(strong) == share(weak):
		return fmt.Sprintf("the booster, which gives %s of the push on the master cylinder", share(strong))
	}
	return fmt.Sprintf("the booster, which gives %s of the push on the master cylinder at the strongest press and %s at the weakest", share(strong), share(weak))
}
