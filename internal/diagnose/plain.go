package diagnose

import (
	"fmt"
	"strings"

	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/si"
)

// Plain is what the readings say for who owns the car, without the names that files have
// for faults: the verdict and the side, then what to do.
func (d *Diagnosis) Plain(u si.System) (verdict, do []string) {
	if len(d.readings) == 0 {
		return []string{noReading}, nil
	}
	return []string{d.plainVerdict(u), d.sideWords()}, []string{upperFirst(strings.TrimPrefix(d.doWords(fewUnseen), "To do: ")), diagnosisCaution}
}

func (d *Diagnosis) plainVerdict(u si.System) string {
	top := &d.Suspects[0]
	if d.nothingExplains() {
		return d.unexplainedVerdict(u)
	}
	text := fmt.Sprintf("It is %s %s (%s).", confidence(top.Together), top.words(), likelihood(top.Together))
	if top.Together < named {
		text = fmt.Sprintf("That is too little to name a fault by: the likeliest is %s, with %s.", top.words(), likelihood(top.Together))
	}
	if n := len(top.IndistinguishableFrom); n > 0 {
		text += fmt.Sprintf(" No test here tells it from %s: the chance is of all of them together.", described(top.IndistinguishableFrom))
	}
	if size := d.size(top, u); size != "" && top.Together >= named {
		text += " Size: " + size + "."
	}
	return text
}

// named is the least chance with which a fault is called by its name and size (estimate).
const named = 0.2

// noReading is the verdict before any.
const noReading = "No reading yet, so nothing is ruled out."

// described names suspects in words.
func described(names []string) string {
	out := make([]string, len(names))
	for i, name := range names {
		out[i] = describe(name)
	}
	return someOf(out, 3)
}

// describe says in words what an answer calls a suspect.
func describe(name string) string {
	switch name {
	case NoFault:
		return "no fault"
	case Unexplained:
		return "something not in the list"
	}
	parts := strings.Split(name, " + ")
	for k, p := range parts {
		if text := workshop.Describe(sim.FaultName(p)); text != "" {
			parts[k] = text
		}
	}
	return strings.Join(parts, " together with ")
}

// spoken names a test without the hyphens that files have.
func spoken(t workshop.Trial, u si.System) string {
	name := string(t.Test())
	return strings.Replace(t.Words(u), name, strings.ReplaceAll(name, "-", " "), 1)
}

// PlainNext says which test to do next, how, and what a sound car reads; ok is false where
// none is left that would tell more.
func (d *Diagnosis) PlainNext(u si.System) (test, how, sound string, ok bool) {
	n := d.Next
	if n == nil {
		return "", "", "", false
	}
	return spoken(n.trial, u), n.trial.How(u), n.healthy(u), true
}

// Broken is something that a scenario says is wrong with its car.
type Broken struct {
	// What is wrong, and what to Do.
	What, Do string
	// Parked says that the car must not be driven with it.
	Parked bool
}

// BrokenIn lists the faults and the lost circuits of a car.
func BrokenIn(c *sim.Config) []Broken {
	var all []Broken
	for _, f := range c.Faults {
		replace, check := workshop.Remedy(f.Name)
		all = append(all, Broken{workshop.Describe(f.Name), fmt.Sprintf("Replace %s. Before buying, check: %s.", replace, check),
			workshop.DoNotDrive(f.Name, float64(workshop.SeverityOf(f)))})
	}
	const find = "Find where the fluid goes, mend it, and bleed."
	if c.Front.Lost {
		all = append(all, Broken{"its front circuit lost", find, true})
	}
	if c.Rear.Lost {
		all = append(all, Broken{"its rear circuit lost", find, true})
	}
	return all
}
