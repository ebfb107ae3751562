package study

import (
	"fmt"
	"strings"

	"kneepoint/internal/verdict"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Words say how many stops are left, and how hard each becomes.
func (r *ReserveResult) Words(u si.System) []string {
	if r.config.Booster.Kind == sim.BoosterNone {
		return r.manualWords(u)
	}
	words := append(tidy(LostWords(&r.config), r.count(u)), r.note.Words(u)...)
	words = append(words, r.VolumeRange.words(u)...)
	words = append(words, r.Estimated.words(u)...)
	words = append(words, r.asked(u), r.effortWords(u))
	words = append(words, r.tankWords(u)...)
	words = append(words, r.Pump.words(r.config, u)...)
	if r.recharged {
		words = append(words, r.rechargeWords(u))
	}
	words = append(words, r.Sure.words(u)...)
	return append(words, fmt.Sprintf(
		"Easy is up to %s, heavy up to %s (%s). The column \"assisted\" counts otherwise: a stop is assisted while it needs no more than %s, which is what FMVSS 135 allows with a failed booster (secondary copy), a legal bound and no comfort, and the booster still gives at least %.0f %% of the push on the master cylinder.",
		pedal(verdict.EasyPedal, u), pedal(verdict.HeavyPedal, u), verdict.EffortSource, pedal(r.settings.ForceLimit, u), 100*float64(r.settings.ShareLimit)))
}

// count is the headline: what the foot can do, and from where on it is alone.
func (r *ReserveResult) count(u si.System) string {
	from := fmt.Sprintf("from %s in the booster", chamber(r.StartVacuum.Value(), u))
	if r.settings.FilledAt != sim.EngineIdle {
		from += " (filled on the overrun)"
	}
	begin := fmt.Sprintf("%s, %s, ", r.engineWords(), from)
	if missing := r.Stops[0].missing; missing != noShortfall {
		return begin + "not even the first stop can be had: " + r.shortfallWords(missing, u) + "."
	}
	if v := r.VolumeRange; v.decides() {
		text := begin + verdict.Between(v.low, v.high) + "."
		if alone := r.aloneWords(); alone != "" {
			text += " With the least room:" + alone
		}
		return text
	}
	if alone := r.aloneWords(); alone != "" {
		return begin + r.Counted() + ";" + alone
	}
	return begin + r.Counted() + "."
}

// aloneWords say from which stop on the booster no longer matters.
func (r *ReserveResult) aloneWords() string {
	for _, s := range r.Stops {
		switch {
		case !s.Needed.Exists():
			return fmt.Sprintf(" stop %d cannot be had at all.", s.Number)
		case float64(s.ShareAtNeeded.Value()) < float64(r.settings.ShareLimit):
			return fmt.Sprintf(" from stop %d on the booster no longer matters.", s.Number)
		}
	}
	return ""
}

// shortfallWords say why a stop cannot be had.
func (r *ReserveResult) shortfallWords(missing shortfall, u si.System) string {
	return missing.words(r.Lock, u)
}

// words say why a stop cannot be had by a car that locks a wheel so.
func (missing shortfall) words(lock verdict.FirstLock, u si.System) string {
	switch missing {
	case byLock:
		return fmt.Sprintf("on this road %s at %s, which is all it can do without locking a wheel", lock.Axle.Lock(), slowing(lock.Deceleration.Value(), u))
	case byStroke:
		return "the master cylinder's piston comes to the end of its stroke first"
	case byForce:
		return fmt.Sprintf("it is out of reach even at %s", pedal(verdict.HardestPedal, u))
	}
	return ""
}

func (r *ReserveResult) engineWords() string {
	switch r.settings.Engine {
	case sim.EngineOff:
		if r.config.Source.Kind == sim.SourceBench {
			return "With the vacuum shut off"
		}
		return "After the engine dies"
	case sim.EngineIdle:
		return fmt.Sprintf("With the engine idling and a stop every %s", si.Seconds(r.settings.Cycle()))
	}
	return fmt.Sprintf("With the engine on the overrun and a stop every %s", si.Seconds(r.settings.Cycle()))
}

// asked says what every stop is asked to reach.
func (r *ReserveResult) asked(u si.System) string {
	if r.DemandDeceleration.Exists() {
		return fmt.Sprintf("Every stop asks for %s.", si.Format(si.DimAcceleration, float64(r.DemandDeceleration.Value()), u))
	}
	return fmt.Sprintf("Every stop asks for the %s in the line that %s at the pedal gives with the engine running.",
		pressure(r.DemandLine.Value(), u), pedal(r.settings.Pedal, u))
}

// effortWords lists the force of the first stops, up to the second that is not
// assisted; stops alike are told together.
func (r *ReserveResult) effortWords(u si.System) string {
	show := len(r.Stops)
	if !r.Capped {
		show = min(show, max(r.AssistedStops+2, r.HeavyStops+1, 3))
	}
	var parts []string
	for first := 0; first < show; {
		last := first
		for last+1 < show && r.effort(last+1, u) == r.effort(first, u) {
			last++
		}
		which := fmt.Sprintf("stop %d", first+1)
		if last > first {
			which = fmt.Sprintf("stops %d to %d", first+1, last+1)
		}
		parts = append(parts, which+": "+r.effort(first, u))
		first = last + 1
	}
	return "What the foot needs for it: " + strings.Join(parts, "; ") + "."
}

func (r *ReserveResult) effort(i int, u si.System) string {
	s := r.Stops[i]
	if !s.Needed.Exists() {
		return "out of reach"
	}
	f := s.Needed.Value()
	return pedal(f, u) + ", " + verdict.Effort(f)
}

func (r *ReserveResult) tankWords(u si.System) []string {
	var words []string
	c := r.config
	switch {
	case r.settings.Engine != sim.EngineOff && r.tires():
		words = append(words, "The vacuum does not come back between stops as fast as they use it.")
		if c.Reservoir.Volume > 0 && r.filledFurther() {
			words = append(words, fmt.Sprintf("The %s tank takes what the overrun gave into the first stops; after them it holds no more than the idle gives.", tank(c.Reservoir.Volume, u)))
		}
	case r.settings.Engine != sim.EngineOff && !r.filledFurther():
		words = append(words, steadyTankWords(c.Reservoir.Volume, r.settings.Engine, u)...)
	case c.Reservoir.Volume > 0:
		words = append(words, fmt.Sprintf("The %s tank gives more stops, and no more help per stop than the vacuum at which it was filled.",
			tank(c.Reservoir.Volume, u)))
		if r.bleeds() {
			words = append(words, bledTank)
		}
	case r.settings.Engine == sim.EngineOff && len(c.Faults) == 0:
		words = append(words, "A tank would give more stops, and no more help per stop.")
	}
	if c.Pump.FreeFlow > 0 && r.settings.Engine == sim.EngineOff && !c.Pump.EngineOff {
		words = append(words, "The electric pump is taken to stop with the ignition (pump.with_engine_off says otherwise).")
	}
	return words
}

// bleeds says that the dead engine empties the tank.
func (r *ReserveResult) bleeds() bool {
	tank := r.config.Reservoir
	return tank.Volume > 0 && tank.Place == sim.PlaceEngineSide && !tank.InletValve && r.settings.Engine == sim.EngineOff
}

// bledTank is said of such a tank.
const bledTank = "This tank has no check valve of its own at its inlet: the dead engine bleeds it, so it is as good as none."

// tires says that with the engine running the stops become harder all the same, and not
// by turns, as they do between the switches of a pump.
func (r *ReserveResult) tires() bool {
	first, last := r.Stops[0].Needed, r.Stops[len(r.Stops)-1]
	if r.Pump != nil && (Traffic{TrafficVacuum: last.VacuumBefore, TrafficKept: r.traffic.TrafficKept}).keptUp() {
		return false
	}
	return first.Exists() && (!last.Needed.Exists() || last.Needed.Value() > 1.1*first.Value())
}

func (r *ReserveResult) rechargeWords(u si.System) string {
	back := func(t answer.Optional[si.Time], where string) string {
		if !t.Exists() {
			return fmt.Sprintf("not within %s %s", si.Seconds(verdict.RechargeMost), where)
		}
		switch t := t.Value(); {
		case t == 0:
			return "at once " + where
		case t < 0.05:
			return "in less than 0.1 s " + where
		}
		return fmt.Sprintf("in %s %s", si.Seconds(t.Value()), where)
	}
	kept := "95 % of the vacuum that each of them keeps is back"
	if r.Pump != nil {
		kept = r.Pump.keptWords(u)
	}
	return "With the engine running, one such stop is made good " + back(r.RechargeIdle, "at idle") + " and " +
		back(r.RechargeOverrun, "on the overrun") + ": " + kept + ", in the booster and in a tank."
}

func (r *ReserveResult) manualWords(u si.System) []string {
	s := r.Stops[0]
	force := "cannot be had: " + r.shortfallWords(s.missing, u)
	if s.Needed.Exists() {
		force = fmt.Sprintf("takes %s at the pedal, %s, at every stop", pedal(s.Needed.Value(), u), verdict.Effort(s.Needed.Value()))
	}
	return tidy(LostWords(&r.config), "There is no booster, so no stop is assisted and none can be lost. "+r.asked(u)+" That "+force+".")
}

// Tables is the list of stops.
func (r *ReserveResult) Tables() []answer.Table {
	t := answer.Table{Name: "stops", Columns: []answer.Column{
		{Key: "stop", Title: "stop"},
		{Key: "vacuum_before", Title: "before", Dim: si.DimVacuum},
		{Key: "vacuum_after", Title: "after", Dim: si.DimVacuum},
		{Key: "pedal", Title: "pedal", Dim: si.DimForce},
		{Key: "line", Title: "line", Dim: si.DimPressure},
		{Key: "deceleration", Title: "slows at", Dim: si.DimAcceleration},
		{Key: "assist_share", Title: "booster's share", Dim: si.DimRatio},
		{Key: "needed_pedal", Title: "needed pedal", Dim: si.DimForce},
		{Key: "effort", Title: "that is"},
		{Key: "assisted", Title: "assisted"},
	}}
	for _, s := range r.Stops {
		effort := answer.Cell("—")
		if s.Needed.Exists() {
			effort, _, _ = strings.Cut(verdict.Effort(s.Needed.Value()), " ")
		}
		t.Rows = append(t.Rows, []answer.Cell{
			s.Number, s.VacuumBefore.Cell(), s.VacuumAfter.Cell(), float64(s.Pedal), float64(s.Line), float64(s.Deceleration),
			s.Share.Cell(), s.Needed.Cell(), effort, s.Assisted,
		})
	}
	return append([]answer.Table{t}, r.Sure.tables()...)
}

// Figures is the vacuum over time and the needed force by stop.
func (r *ReserveResult) Figures() []answer.Figure {
	needed := answer.Panel{
		X: answer.Axis{Label: "Stop", From: 0.5, To: float64(len(r.Stops)) + 0.5},
		Y: answer.Axis{Label: "Pedal force needed", Dim: si.DimForce},
		Levels: []answer.Level{
			{Label: "easy up to here", Value: float64(verdict.EasyPedal)},
			{Label: "heavy up to here", Value: float64(verdict.HeavyPedal)},
			{Label: "limit", Value: float64(r.settings.ForceLimit)},
		},
	}
	line := answer.Curve{Label: "needed for the demand", Role: answer.Main, Dots: true}
	for _, s := range r.Stops {
		if s.Needed.Exists() {
			line.X = append(line.X, float64(s.Number))
			line.Y = append(line.Y, float64(s.Needed.Value()))
		}
	}
	needed.Curves = []answer.Curve{line}
	if n := r.HeavyStops; n > 0 && n < len(r.Stops) {
		last := r.Stops[n-1]
		needed.Marks = []answer.Mark{{Label: "last stop at most heavy", X: float64(last.Number), Y: float64(last.Needed.Value())}}
	}
	panels := []answer.Panel{needed}
	if r.config.Booster.Kind != sim.BoosterNone && r.over != nil {
		panels = []answer.Panel{r.vacuumPanel(), needed}
	}
	stops := answer.Figure{Name: "reserve", Title: answer.Titled("Stops left", r.title), Panels: panels,
		Note: "Simulated. Easy and heavy are common practice, no source. " + planningNote}
	return append([]answer.Figure{stops}, r.Sure.figures(r.title)...)
}

func (r *ReserveResult) vacuumPanel() answer.Panel {
	states := r.over.Every(max((r.over.Until()-r.over.From())/1500, 5e-3))
	times := series(states, func(s sim.State) float64 { return float64(s.Time) })
	p := answer.Panel{
		X: answer.Axis{Label: "Time", Dim: si.DimTime},
		Y: answer.Axis{Label: "Vacuum", Dim: si.DimVacuum},
		Curves: []answer.Curve{{
			Label: "front chamber", X: times, Role: answer.Main,
			Y: series(states, func(s sim.State) float64 { return float64(s.FrontVacuum) }),
		}},
	}
	if r.config.Reservoir.Volume > 0 {
		p.Curves = append(p.Curves, answer.Curve{
			Label: "reservoir", X: times, Role: answer.Second,
			Y: series(states, func(s sim.State) float64 { return float64(s.ReservoirVacuum) }),
		})
	}
	if r.settings.Engine == sim.EngineOff {
		p.Spans = []answer.Span{{Label: "engine off", From: 0, To: float64(r.over.Until())}}
	}
	return p
}

// Document is the result itself.
func (r *ReserveResult) Document() any { return r }

var _ answer.Answer = (*ReserveResult)(nil)
