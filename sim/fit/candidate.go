package fit

import (
	"slices"
	"strings"

	"kneepoint/internal/portable"
	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Cause is what may be behind a log that the model does not meet.
type Cause string

// The causes that are tried.
const (
	ByGauge   Cause = "gauge"   // a gauge that is off, late, slow, or has a clock of its own
	ByEngine  Cause = "engine"  // an engine that was on at first
	ByDefault Cause = "default" // a figure that the scenario leaves at its default
	ByFault   Cause = "fault"
)

// A candidate is one such cause: unknowns besides those that were asked for.
type candidate struct {
	cause    Cause
	unknowns []unknown
	tries    [][]float64 // of the unknowns, in SI, from which it is judged
	entry    *scenario.Entry
}

// ofGauges are what the gauges may do. Without a press all but an offset shift a log that is
// nearly straight, which shows nothing.
func (f *Fit) ofGauges() []candidate {
	var out []candidate
	for _, name := range scenario.UnknownNames() {
		h, ok := habitUnknowns[name]
		if !ok {
			continue
		}
		for _, log := range f.ownOf(name) {
			pressed := f.logs[log].mostForce > pressedFrom
			if f.looksFor(name, log) || !pressed && name != scenario.VacuumOffset {
				continue
			}
			u, _ := f.s.Unknown(name)
			c := candidate{cause: ByGauge, unknowns: []unknown{f.added(u, log)}}
			for _, v := range h.tries {
				c.tries = append(c.tries, []float64{v})
			}
			out = append(out, c)
		}
	}
	return out
}

// ofEngines are engines that ran where the log begins, as long as they then held a vacuum of
// their own.
func (f *Fit) ofEngines() []candidate {
	const vacuum = scenario.KeySourceVacuum
	var out []candidate
	for _, log := range f.ownOf(scenario.EngineStops) {
		d := f.logs[log]
		if !d.hasVacuum || f.looksFor(scenario.EngineStops, log) {
			continue
		}
		u, _ := f.s.Unknown(scenario.EngineStops)
		c := candidate{cause: ByEngine, unknowns: []unknown{f.added(u, log)}}
		source, want := f.s.Unknown(vacuum)
		own := want == "" && !f.looksFor(vacuum, ofCar) && d.start > 0
		if own {
			c.unknowns = append(c.unknowns, f.added(source, ofCar))
		}
		for _, t := range d.stopTries() {
			try := []float64{t}
			if own {
				try = append(try, float64(d.start))
			}
			c.tries = append(c.tries, try)
		}
		out = append(out, c)
	}
	return out
}

// ofDefaults are figures of the car that nobody measured.
func (f *Fit) ofDefaults() []candidate {
	var out []candidate
	for _, e := range f.s.Entries() {
		if e.Origin == scenario.Set || e.Range == nil || f.looksFor(e.Path, ofCar) {
			continue
		}
		u, want := f.s.Unknown(e.Path)
		if want != "" || u.Path == "" || !(e.Range.Low > 0) {
			continue
		}
		own := f.added(u, ofCar)
		// Beyond the range of what cars have another cause is likelier.
		const beyond = 1.5
		own.low, own.high = e.Range.Low/beyond, e.Range.High*beyond
		const little = 0.2
		out = append(out, candidate{cause: ByDefault, unknowns: []unknown{own}, entry: &e,
			tries: [][]float64{{max(own.low, u.Value*(1-little))}, {min(own.high, u.Value*(1+little))}}})
	}
	return out
}

// ofFaults are the faults that the scenario has not.
func (f *Fit) ofFaults() []candidate {
	var out []candidate
	for _, name := range sim.FaultNames() {
		u, want := f.s.Unknown(string(name))
		if want != "" || u.Fault == "" || f.looksFor(u.Name, ofCar) {
			continue
		}
		own := f.added(u, ofCar)
		c := candidate{cause: ByFault}
		tries := []float64{0.1, 0.3, 0.7}
		own.start, own.low, own.high = 0.3, 0.01, 1
		if name.Measure() == sim.FaultByArea {
			own.start, own.low, own.high = absent, leastLeak/10, 3*mostLeak
			tries = []float64{0.03e-6, 0.3e-6, 3e-6, 20e-6}
		}
		for _, v := range tries {
			c.tries = append(c.tries, []float64{v})
		}
		c.unknowns = []unknown{own}
		out = append(out, c)
	}
	return out
}

// added is an unknown that the program proposes. Its limits are found out only where they are
// not given: that takes time.
func (f *Fit) added(u scenario.Unknown, log int) unknown {
	out := unknown{Unknown: u, start: u.Value, log: log, added: true, low: u.Value / mostChange, high: u.Value * mostChange}
	if ownName(u.Name) || u.Name == scenario.KeySourceVacuum {
		out = unknownOf(f.s, u)
		out.log, out.added, out.asked = log, true, false
	}
	return out
}

// looksFor reports whether an unknown is among those of the fit already.
func (f *Fit) looksFor(name string, log int) bool {
	return slices.ContainsFunc(f.unknowns, func(u unknown) bool {
		return u.log == log && (u.Name == name || u.Path == name)
	})
}

// with is the fit with a candidate's unknowns too.
func (f *Fit) with(c *candidate) *Fit {
	out := *f
	out.unknowns = append(slices.Clone(f.unknowns), c.unknowns...)
	out.played = &recent{}
	return &out
}

// means says in words what an unknown that a log's gauge or engine has stands for.
func means(name string) string {
	if h, ok := habitUnknowns[name]; ok {
		return h.says
	}
	if name == scenario.EngineStops {
		return "how long after the first row the engine still ran"
	}
	return ""
}

// severe prints how bad a fault is.
func severe(u *unknown, v float64, units si.System) string {
	if u.Fault.Measure() == sim.FaultByArea {
		return fitted(si.DimArea, v, v/10, units)
	}
	return strings.TrimSpace(string(u.Fault.Measure()) + " " + rounded(si.DimRatio, v, 2, units))
}

// scaled is a try on the scale of the search.
func (c *candidate) scaled(try []float64) []float64 {
	out := make([]float64, len(try))
	for i, v := range try {
		u := &c.unknowns[i]
		out[i] = u.scaled(min(max(v, u.low), u.high))
	}
	return out
}

// sharedBy is a share of a try, from where nothing of the cause shows, on the scale of the
// search.
func (c *candidate) sharedBy(try []float64, share float64) []float64 {
	at := c.scaled(try)
	for i, v := range try {
		switch u := &c.unknowns[i]; {
		case c.cause != ByFault:
			at[i] *= share
		case u.Fault.Measure() == sim.FaultByOpen:
			at[i] = u.scaled(max(u.low, 1-share*(1-v)))
		default:
			at[i] = u.scaled(min(share*v, u.high))
		}
	}
	return at
}

// penalty is what a candidate has to outweigh: that of Schwarz's criterion (BIC) for its unknowns,
// and that of the number of candidates among which it was found (Chen and Chen 2008, extended
// BIC, from memory).
func (c *candidate) penalty(data, candidates int) float64 {
	return float64(len(c.unknowns))*portable.Log(float64(data)) + 2*portable.Log(float64(max(1, candidates)))
}
