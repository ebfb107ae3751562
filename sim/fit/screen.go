package fit

import (
	"fmt"
	"math"
	"strings"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Screen says what was found, whether the model meets the log, and what the log leaves open.
func (r *Result) Screen(u si.System) answer.Screen {
	valued := withRange
	if r.Fault != nil {
		valued = (*Fitted).now // of a car that does not meet the log
	}
	s := answer.Screen{Verdict: append(r.fit.doubts(u), r.headline(u, (*Fitted).inWords, valued)), DependsOn: r.dependsOn()}
	s.Verdict = append(s.Verdict, r.leftOutWords(1)...)
	if len(r.Added) > 0 {
		var added []string
		for i := range r.Added {
			added = append(added, r.Added[i].named(u))
		}
		s.Verdict = append(s.Verdict, "That rests on what the program found by itself and added: "+strings.Join(added, "; ")+". Look whether it is so.")
	}
	if !r.Converged && r.Fault == nil {
		s.Verdict = append(s.Verdict, r.restlessWords())
	}
	for i, words := range r.gaugeWords(u) {
		if r.Gauges[i].Patterned && r.Fault == nil {
			s.Verdict = append(s.Verdict, words)
		} else {
			s.More = append(s.More, words)
		}
	}
	s.Next, s.Command = r.next()
	return s
}

// next is what would tell more, or to put to use what was found.
func (r *Result) next() (string, answer.Command) {
	switch {
	case len(r.fit.doubts(si.SI)) > 0:
		return "put the right unit into the log's header, and ask again", answer.Command{}
	case r.Fault != nil:
		return "find out by tests whether it is that fault", answer.Command{Verb: "diagnose", Args: []string{"--ask"}}
	case len(r.Indistinguishable) > 0 && r.fit.mostForce() < pressedFrom && r.fit.logs[0].hasVacuum:
		return "log a few presses with the pedal force beside the vacuum: each lets a known amount of air in, which tells these apart", answer.Command{}
	case len(r.Indistinguishable) > 0:
		return "hold one of these at what was measured on the car, and leave it out of --find", answer.Command{}
	}
	return "write what was found into the scenario, and count the stops that are left with it", answer.Command{Verb: "reserve"}
}

// inWords is the unknown's name for people.
func (v *Fitted) inWords() string {
	if v.Log == "" {
		return inWords(v.Name)
	}
	return inWords(v.Name) + " of " + v.Log
}

// inWords turns a key, or the name of a fault, into words: "booster's front volume".
func inWords(name string) string {
	table, rest, isKey := strings.Cut(name, ".")
	if isKey {
		name = table + "'s " + rest
	}
	return strings.NewReplacer("-", " ", "_", " ", ".", " ").Replace(name)
}

// dependsOn names what is told apart least well.
func (r *Result) dependsOn() string {
	if len(r.Indistinguishable) > 0 {
		b := r.Indistinguishable[0]
		var names []string
		for _, n := range b.Unknowns {
			names = append(names, inWords(n))
		}
		return fmt.Sprintf("%s, which this log cannot tell apart: only their %s shows", strings.Join(names, " and "), b.Shows)
	}
	var worst *Fitted
	for i := range r.Unknowns {
		v := &r.Unknowns[i]
		if v.Asked && !math.IsNaN(v.Error) && (worst == nil || relative(v) > relative(worst)) {
			worst = v
		}
	}
	if worst == nil {
		return "the log: what was looked for does not show in it"
	}
	text := fmt.Sprintf("%s, which the log fixes least: to ± %.2g %%", worst.inWords(), 200*relative(worst))
	if a, b, _, close := r.closest(); close {
		text += fmt.Sprintf("; an error in %s is one in %s", inWords(a), inWords(b))
	}
	return text
}

// relative is the standard error as a share of the value.
func relative(v *Fitted) float64 { return v.Error / math.Abs(v.Estimate) }

// closest is the pair that is told apart least well, if there is one that is only just.
func (r *Result) closest() (first, second string, correlation float64, close bool) {
	for i := range r.Unknowns {
		for j := range i {
			if c := r.Correlation.At(i, j); r.onlyJust(i, j) && math.Abs(c) > math.Abs(correlation) {
				first, second, correlation, close = r.Unknowns[j].Name, r.Unknowns[i].Name, c, true
			}
		}
	}
	return first, second, correlation, close
}
