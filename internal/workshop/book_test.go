package workshop

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// What the book takes to have no part in a test has none: a car with the fault reads what
// the sound car does, far within what a gauge shows.
func TestWhatHasNoPartInATest(t *testing.T) {
	t.Parallel()
	s := garage(t, "stock-ten-inch")
	read := func(c sim.Config, trial Trial) float64 {
		v, err := NewRig(c, s.Reserve, Gauges{}).Try(t.Context(), trial)
		require.NoError(t, err)
		return v
	}
	for _, trial := range Menu(&s.Config) {
		if trial.ByChance() || trial.Test() == scenario.StopsLeft && trial.Wait > 0 {
			continue
		}
		sound := read(s.Config, trial)
		key := hangsOn{trial.Vacuum > 0, trial.atRest()}
		half, _ := trial.Gauge()
		for _, name := range sim.FaultNames() {
			if !key.without(name) {
				continue
			}
			c := s.Config
			c.Faults = []sim.Fault{FaultAt(name, 0.9)}
			assert.InDelta(t, sound, read(c, trial), 0.05*half, "%s in %s", name, trial.Words(0))
		}
	}
}

// Whatever differs in a car, the book has it for another one.
func TestTheBookTellsCarsApart(t *testing.T) {
	c := sim.Typical()
	c.Faults = []sim.Fault{FaultAt(sim.FaultHoseLeak, 0.5)}
	c.Booster.Diameters = []si.Length{0.2, 0.25}
	car := func() string { return string(written(nil, reflect.ValueOf(c))) }
	known := map[string]bool{car(): true}
	var change func(v reflect.Value)
	change = func(v reflect.Value) {
		was := reflect.ValueOf(v.Interface())
		switch v.Kind() {
		case reflect.Struct:
			for i := range v.NumField() {
				change(v.Field(i))
			}
			return
		case reflect.Slice:
			for i := range v.Len() {
				change(v.Index(i))
			}
			v.Set(v.Slice(0, v.Len()-1))
		case reflect.Float64:
			v.SetFloat(v.Float() + 1e-9)
		case reflect.String:
			v.SetString(v.String() + "x")
		case reflect.Bool:
			v.SetBool(!v.Bool())
		}
		assert.False(t, known[car()], v.Type())
		known[car()] = true
		v.Set(was)
	}
	change(reflect.ValueOf(&c).Elem())
	assert.Greater(t, len(known), 70)
}
