package fit

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"kneepoint/sim"
	"kneepoint/sim/gaugelog"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// drive is what a log does to the model: the foot, the engine, and when which gauge
// is read. Times are from the log's first row.
type drive struct {
	log    *gaugelog.Log
	gauges []gauge
	course []breakpoint
	engine sim.EngineState
	events []sim.Event
	// start is the first reading of the booster's vacuum; fills says that there is one,
	// or that the booster cannot be at what a running engine gives.
	start     si.Vacuum
	fills     bool
	hasVacuum bool
	mostForce float64
	// foot is the log of the pedal's column, nil without one, and footScatter the scatter of
	// that, in N.
	foot        *gaugelog.Log
	footScatter float64
}

// gauge is one column of the log and what it shows in the model.
type gauge struct {
	column int
	kind   gaugelog.Kind
	dim    si.Dimension
	of     func(sim.State) float64
}

// shownBy says where in the model a gauge sits.
var shownBy = map[gaugelog.Kind]func(sim.State) float64{
	gaugelog.Line:      func(s sim.State) float64 { return float64(s.Line) },
	gaugelog.RearLine:  func(s sim.State) float64 { return float64(s.LineRear) },
	gaugelog.Front:     func(s sim.State) float64 { return float64(s.FrontVacuum) },
	gaugelog.Working:   func(s sim.State) float64 { return float64(s.WorkingVacuum) },
	gaugelog.Hose:      func(s sim.State) float64 { return float64(s.HoseVacuum) },
	gaugelog.Reservoir: func(s sim.State) float64 { return float64(s.ReservoirVacuum) },
	gaugelog.Manifold:  func(s sim.State) float64 { return float64(s.ManifoldVacuum) },
}

// freePedal is the most that a load cell shows of a foot that is not there.
const freePedal = 15.0

// newDrive makes a log ready to drive the scenario's car; what does not go together is
// a *scenario.InputError that names the log.
func newDrive(s *scenario.Scenario, l *gaugelog.Log) (*drive, error) {
	d := &drive{log: l, engine: s.Fit.Engine}
	from := float64(l.From())
	problem := func(line int, key, read, want string) error {
		return &scenario.InputError{Problems: []scenario.Problem{{File: l.Name, Line: line, Key: key, Read: read, Want: want}}}
	}
	ambient := float64(s.Config.Ambient.Pressure)
	if err := underAmbient(s, l); err != nil {
		return nil, err
	}
	l = l.AsVacuums(s.Config.Ambient.Pressure)
	d.log = l
	for k, c := range l.Columns {
		if c.Kind == gaugelog.Pedal {
			continue
		}
		switch {
		case s.Config.Booster.Kind == sim.BoosterNone && c.Kind.Dimension() == si.DimVacuum:
			return nil, problem(l.HeaderLine, c.Header, "a vacuum of a car without a booster", "a line pressure, or another scenario")
		case c.Kind == gaugelog.Reservoir && s.Config.Reservoir.Volume == 0:
			return nil, problem(l.HeaderLine, c.Header, "the vacuum of a tank", "a scenario with a [reservoir]")
		}
		d.gauges = append(d.gauges, gauge{k, c.Kind, c.Kind.Dimension(), shownBy[c.Kind]})
		if c.Kind.Dimension() != si.DimVacuum {
			continue
		}
		d.hasVacuum = true
		most := 0.0
		for i := range l.Points {
			most = max(most, l.Points[i].Mean(k))
		}
		if most > ambient+3*c.Noise {
			return nil, problem(l.HeaderLine, c.Header, "up to "+c.Show(most),
				"less than the ambient pressure of "+c.Show(ambient)+": a vacuum counts up from there; a column of absolute pressure says so, as in \"manifold [kPa abs]\"")
		}
	}
	if k := l.Column(gaugelog.Pedal); k >= 0 {
		d.foot = l
		if l.Foot != nil {
			d.foot, k = l.Foot, 0
		}
		d.course, d.footScatter = courseOf(d.foot, k, from)
		for _, k := range d.course {
			d.mostForce = max(d.mostForce, k.force)
		}
		if first := d.foot.Points[0].At(k, from); first > freePedal {
			column := d.foot.Columns[k]
			return nil, problem(l.FirstLine, column.Header, column.Show(first),
				"a free pedal where the log begins, or what the booster held before is not known")
		}
	}
	d.startsFrom(s)
	for _, e := range s.Events {
		e.At = max(0, e.At-si.Time(from))
		d.events = append(d.events, e)
	}
	slices.SortStableFunc(d.events, func(a, b sim.Event) int { return cmp.Compare(a.At, b.At) })
	return d, nil
}

// underAmbient refuses an absolute pressure that is above the ambient one.
func underAmbient(s *scenario.Scenario, l *gaugelog.Log) error {
	ambient := float64(s.Config.Ambient.Pressure)
	const off = 3e3 // what a barometer and a gauge may disagree by
	for k, c := range l.Columns {
		if !c.Absolute {
			continue
		}
		most := 0.0
		for i := range l.Points {
			most = max(most, l.Points[i].Mean(k))
		}
		if most > ambient+off+3*c.Noise {
			return &scenario.InputError{Problems: []scenario.Problem{{File: l.Name, Line: l.HeaderLine, Key: c.Header, Read: "up to " + c.Show(most),
				Want: "no more than the ambient pressure of " + c.Show(ambient) + ", from which the vacuum counts: ambient.pressure or ambient.altitude changes that"}}}
		}
	}
	return nil
}

// startsFrom finds the vacuum that the booster has where the log begins.
func (d *drive) startsFrom(s *scenario.Scenario) {
	if s.Config.Booster.Kind == sim.BoosterNone {
		return
	}
	d.start, d.fills = s.Config.SourceVacuum(), d.engine == sim.EngineOff
	for _, kind := range []gaugelog.Kind{gaugelog.Front, gaugelog.Working} {
		if k := d.log.Column(kind); k >= 0 {
			d.start, d.fills = si.Vacuum(firstReading(d.log, k)), true
			return
		}
	}
}

// firstReading is that of a column, or what the next two point back to where it is off by
// far: the gauge may not have been there yet.
func firstReading(l *gaugelog.Log, column int) float64 {
	const off = 8.0
	first := l.Points[0].At(column, l.Points[0].From)
	if len(l.Points) < 3 || l.Thinned() {
		return first
	}
	a, b := &l.Points[1], &l.Points[2]
	before := a.Mean(column)
	if b.Time > a.Time {
		before -= (b.Mean(column) - a.Mean(column)) * (a.Time - l.Points[0].Time) / (b.Time - a.Time)
	}
	if math.Abs(first-before) > max(off*l.Columns[column].Noise, largeVacuum) {
		return before
	}
	return first
}

// has reports whether a gauge of a dimension is in the log.
func (d *drive) has(dim si.Dimension) bool {
	return slices.ContainsFunc(d.gauges, func(g gauge) bool { return g.dim == dim })
}

// runs reports whether the engine is ever running.
func (d *drive) runs() bool {
	return d.engine != sim.EngineOff || slices.ContainsFunc(d.events, func(e sim.Event) bool { return e.Engine != sim.EngineOff })
}

// fitTolerance keeps what the solver adds to a vacuum within some pascals, which no
// gauge shows.
const fitTolerance = sim.DefaultTolerance

// shortestPress keeps a pedal from jumping, in s.
const shortestPress = 1e-3

// A foot is how the pedal's course differs from the one in the log.
type foot struct{ late, harder float64 }

// run drives a car by the log. The engine stops at a time, where that is above 0 and the
// engine would be off.
func (d *drive) run(ctx context.Context, c sim.Config, start si.Vacuum, stops si.Time, by foot) (*sim.Trajectory, error) {
	m, err := sim.New(c, sim.Tolerance(fitTolerance))
	if err != nil {
		return nil, err
	}
	s := m.Start()
	engine, events := d.engine, d.events
	if stops > 0 {
		engine, events = sim.EngineIdle, []sim.Event{{At: stops, Engine: sim.EngineOff}}
	}
	if engine != sim.EngineOff {
		if err := s.Settle(ctx, engine); err != nil {
			return nil, err
		}
	}
	if d.fills {
		s.Fill(start)
	}
	s.Record()
	last := 0.0
	for _, k := range d.course {
		last = max(k.at+by.late, last+shortestPress)
		s.Trace(si.Time(last), si.Force(max(0, k.force+by.harder)))
	}
	until := d.log.Until() - d.log.From()
	for _, e := range events {
		if e.At > until {
			break
		}
		if err := s.AdvanceTo(ctx, e.At); err != nil {
			return nil, err
		}
		s.Engine(e.Engine)
	}
	if err := s.AdvanceTo(ctx, until); err != nil {
		return nil, err
	}
	return s.Trajectory(), nil
}

// words say how the log drove the model.
func (d *drive) words(u si.System) []string {
	l := d.log
	var places []string
	for _, g := range d.gauges {
		places = append(places, fmt.Sprintf("%q as the %s", l.Columns[g.column].Header, g.kind))
	}
	text := "Read " + strings.Join(places, ", ") + "."
	switch {
	case l.Column(gaugelog.Pedal) < 0:
		text += " There is no column with the pedal force, so the pedal was taken to be free all the time."
	default:
		text += fmt.Sprintf(" The pedal followed its column, by %d straight lines, up to %s.", len(d.course)-1, si.Show(si.Force(d.mostForce), u))
	}
	switch {
	case len(d.events) > 0:
		text += fmt.Sprintf(" Engine: %s from the first row, then as the scenario's [[event]] entries say, by the log's clock.", d.engine)
	case d.engine == sim.EngineOff:
		text += " The engine was taken to be off from the first row on; fit.engine or an [[event]] says otherwise."
	default:
		text += fmt.Sprintf(" Engine: %s from the first row on.", d.engine)
	}
	if l.Repeats > 0 {
		text += fmt.Sprintf(" A gauge was read less often than the rows were written: %d rows that repeat its last reading were left out", l.Repeats)
		if l.Foot != nil {
			text += ", but for the pedal"
		}
		text += "."
	}
	if l.Thinned() {
		text += fmt.Sprintf(" The %d rows were thinned to %d points while reading: rows on a straight line within their scatter count as one point with their weight.", l.Rows, len(l.Points))
	}
	if l.Began != "" {
		text += fmt.Sprintf(" Times count from the first row, at %s.", l.Began)
	}
	return []string{text}
}

// leftOut says which columns were not read, since what they hold may be what was meant.
func (d *drive) leftOut() string {
	var parts []string
	if len(d.log.Empty) > 0 {
		parts = append(parts, "Nothing stands in "+quotedList(d.log.Empty)+": left out.")
	}
	if len(d.log.Ignored) > 0 {
		parts = append(parts, "Columns left out, not known by their names: "+quotedList(d.log.Ignored)+".")
	}
	return strings.Join(parts, " ")
}

func quotedList(names []string) string {
	const most = 8
	out := make([]string, 0, most)
	for i, n := range names {
		if i == most {
			return strings.Join(out, ", ") + fmt.Sprintf(" and %d more", len(names)-most)
		}
		out = append(out, strconv.Quote(n))
	}
	return strings.Join(out, ", ")
}
