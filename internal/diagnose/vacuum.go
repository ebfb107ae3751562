package diagnose

import (
	"context"
	"fmt"
	"math"

	"kneepoint/internal/verdict"
	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// Vacuum is what is asked of every car first: whether there is vacuum enough.
type Vacuum struct {
	// Needed is for the hard stop of this car with an easy pedal; it does not exist where no vacuum
	// is enough, or without a booster. Has is what there is, From where that is known from.
	Needed answer.Optional[si.Vacuum] `json:"needed_pa"`
	Has    answer.Optional[si.Vacuum] `json:"has_pa"`
	From   string                     `json:"from"`
	Short  bool                       `json:"short"`
	// AtBooster is what was read at the booster's end of the hose, where that is less than
	// there is at the source by more than two gauges are out.
	AtBooster answer.Optional[si.Vacuum] `json:"at_booster_pa"`
}

// lookAtVacuum asks what the booster needs and what there is. What the engine was read to
// have counts before what the file says that it has; where it was read to have more, the
// car is one with that.
func (l *Library) lookAtVacuum(ctx context.Context, s *scenario.Scenario, readings []scenario.Reading) (Vacuum, error) {
	v := Vacuum{}
	if l.config.Booster.Kind == sim.BoosterNone {
		return v, nil
	}
	has := l.config.Source.Vacuum
	if l.config.Source.Kind == sim.SourceEngine {
		has = l.config.SourceVacuum()
	}
	v.From = scenario.KeySourceVacuum
	for _, r := range readings {
		if r.Test == scenario.ManifoldVacuum && !r.CantTell {
			read := si.Vacuum(r.Value)
			if float64(read) > float64(has)+float64(moreThanWritten) && r.Between == nil {
				l.config.Source.Vacuum = read
				l.config.Source.MeasuredPressure = l.config.Ambient.Pressure
			}
			has, v.From = read, string(r.Test)
		}
	}
	if pump := l.config.Pump; pump.FreeFlow > 0 && pump.On > has {
		least, err := l.leastPumped(ctx)
		if err != nil {
			return v, err
		}
		if least > has {
			has, v.From = least, scenario.KeyPumpOn
		}
	}
	for _, r := range readings {
		if r.Test == scenario.BoosterVacuum && !r.CantTell && (r.Between == nil || !math.IsInf(r.Between.High, 1)) {
			if v.AtBooster = answer.None[si.Vacuum](); r.Value < float64(has-moreThanWritten) {
				v.AtBooster = answer.Of(si.Vacuum(r.Value))
			}
		}
	}
	needed, err := workshop.NeededVacuum(ctx, l.config, l.reserve)
	if err != nil {
		return v, fmt.Errorf("the vacuum that is needed: %w", err)
	}
	v.Needed, v.Has = needed, answer.Of(has)
	v.Short = needed.Exists() && verdict.VacuumShort(has, needed.Value())
	return v, nil
}

// reread is the library where the engine's vacuum was read since; nil where the car is
// another by that, and has to be simulated anew.
func (l *Library) reread(ctx context.Context, s *scenario.Scenario, readings []scenario.Reading) (*Library, error) {
	other := *l
	other.config = s.Config
	other.config.Faults = nil
	vacuum, err := other.lookAtVacuum(ctx, s, readings)
	if err != nil || other.config.Source != l.config.Source {
		return nil, err
	}
	other.vacuum = vacuum
	return &other, nil
}

// leastPumped is the least vacuum that a pump leaves at rest: where it switches on, or what
// it gets to if that is less.
func (l *Library) leastPumped(ctx context.Context) (si.Vacuum, error) {
	reached, err := workshop.NewRig(l.config, l.reserve, workshop.Gauges{}).Outcome(ctx, scenario.Reading{Test: scenario.BoosterVacuum})
	if err != nil {
		return 0, fmt.Errorf("the vacuum that the pump gets to: %w", err)
	}
	return min(l.config.Pump.On, si.Vacuum(reached)), nil
}

// moreThanWritten is by how much a reading has to be above what the file says for the file
// to be wrong: beyond a gauge's error and an engine's unrest.
const moreThanWritten si.Vacuum = 1 * si.InchOfMercury

// words say what is needed and what there is.
func (v Vacuum) words(u si.System) string {
	from := map[string]string{scenario.KeySourceVacuum: "by the file", scenario.KeyPumpOn: "by the pump's switches", string(scenario.ManifoldVacuum): "read at the manifold"}
	text := v.said(" ("+from[v.From]+")", u)
	if v.lost() {
		text += " A hose loses none while no air flows, however narrow: air gets in, more than it carries off. The hose can be pinched, sucked flat, clogged, cracked or loose; the booster lets air in at its check valve's grommet, its shell or a seat."
	}
	return text
}

// lost says that two readings of one pipe show that vacuum is lost on it.
func (v Vacuum) lost() bool { return v.AtBooster.Exists() && v.From == string(scenario.ManifoldVacuum) }

// said is that with where it is known from, or not.
func (v Vacuum) said(from string, u si.System) string {
	inHg := func(m answer.Optional[si.Vacuum]) string { return si.Format(si.DimVacuum, float64(m.Value()), u) }
	foot := si.Show(verdict.EasyPedal, u)
	text := ""
	switch {
	case !v.Has.Exists():
		return ""
	case !v.Needed.Exists():
		text = fmt.Sprintf("Vacuum: no vacuum makes this car's hard stop with %s at the pedal, as the car is written.", foot)
	case v.AtBooster.Exists():
		text = fmt.Sprintf("Vacuum: the hard stop of this car with %s at the pedal needs %s; at the booster there is %s, which is %s.",
			foot, inHg(v.Needed), inHg(v.AtBooster), verdict.VacuumEnough(v.AtBooster.Value(), v.Needed.Value()))
	default:
		text = fmt.Sprintf("Vacuum: the hard stop of this car with %s at the pedal needs %s; there is %s%s, which is %s.",
			foot, inHg(v.Needed), inHg(v.Has), from, verdict.VacuumEnough(v.Has.Value(), v.Needed.Value()))
	}
	if v.AtBooster.Exists() {
		text += " " + v.lostWords(u)
	}
	return text
}

// lostWords say where to look for vacuum that is there and does not come to the booster. In
// a hose without a flow none is lost, however narrow it is.
func (v Vacuum) lostWords(u si.System) string {
	has := si.Format(si.DimVacuum, float64(v.Has.Value()), u)
	if v.lost() {
		return fmt.Sprintf("The manifold has %s: the rest is lost on the way. Look at the hose first, then pinch it between gauge and check valve: if the needle rises, the booster lets air in; if it stays, the hose leaks or is shut.", has)
	}
	return fmt.Sprintf("By the file the source has %s: read at the manifold whether that is so. If it is, the hose or a leak loses the rest; if not, the source is short.", has)
}
