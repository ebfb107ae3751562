package web

import (
	"strings"

	"kneepoint/internal/ask"
	"kneepoint/internal/diagnose"
	"kneepoint/internal/report"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// FrontOfCar is what the customer reads of whether a car stops: the first page of a report
// without its lines and its drawing, in a system of units.
func FrontOfCar(page *ask.Page, u si.System) *report.Front {
	f := &report.Front{
		Question: "Will it stop?", Verdict: page.Verdict(u), Stops: page.Stops(), Notes: page.Notes(u),
		Do: page.Advice(u), Worth: page.Worth(),
		NoMeasure: "None of the figures that were not measured would turn the verdict by itself.",
	}
	for _, step := range page.First(u) {
		f.Measure = append(f.Measure, report.Measure{What: capital(step.What), Why: "may be " + strings.TrimPrefix(step.May, "or ") + "; " + step.Then, How: sentence(step.How)})
	}
	return f
}

// FrontOfFault is what the customer reads of what is wrong with a car, in the same way.
func FrontOfFault(d *diagnose.Diagnosis, u si.System) *report.Front {
	f := &report.Front{Question: "What is wrong?"}
	f.Verdict, f.Do = d.Plain(u)
	if test, how, sound, ok := d.PlainNext(u); ok {
		f.Measure = []report.Measure{{What: capital(test), How: how + " A sound car reads " + sound + "."}}
	}
	return f
}

// Broken says of a car that is taken with something broken so, and what is to be done.
func Broken(c *sim.Config) (verdict, do []string) {
	for _, b := range diagnose.BrokenIn(c) {
		text := "This car is taken with " + b.What + "."
		if b.Parked {
			text += " Do not drive it before that is put right."
		}
		verdict, do = append(verdict, text), append(do, b.Do)
	}
	return verdict, do
}

// sentence makes one of words.
func sentence(text string) string {
	if text == "" {
		return ""
	}
	return capital(text) + "."
}

func capital(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// A frontReply is what the page prints for the customer.
type frontReply struct {
	Question  string             `json:"question"`
	Verdict   []string           `json:"verdict"`
	Stops     *report.ShownTable `json:"stops"`
	Notes     []string           `json:"notes"`
	Do        []string           `json:"do"`
	Worth     *report.ShownTable `json:"worth"`
	Measure   []measureReply     `json:"measure"`
	NoMeasure string             `json:"no_measure"`
}

type measureReply struct {
	What string `json:"what"`
	Why  string `json:"why"`
	How  string `json:"how"`
}

// newFrontReply sets a front in every system of units, by the name of the units.
func newFrontReply(front func(si.System) *report.Front) (map[string]frontReply, error) {
	out := map[string]frontReply{}
	for _, u := range []si.System{si.US, si.SI} {
		f := front(u)
		set := frontReply{Question: f.Question, Verdict: f.Verdict, Notes: f.Notes, Do: f.Do, NoMeasure: f.NoMeasure}
		for _, m := range f.Measure {
			set.Measure = append(set.Measure, measureReply(m))
		}
		for _, t := range []struct {
			from answer.Table
			to   **report.ShownTable
		}{{f.Stops, &set.Stops}, {f.Worth, &set.Worth}} {
			if len(t.from.Rows) == 0 {
				continue
			}
			shown, err := report.ShowTable(t.from, u)
			if err != nil {
				return nil, err
			}
			*t.to = &shown
		}
		out[u.String()] = set
	}
	return out, nil
}
