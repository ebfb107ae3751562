package scenario

import (
	"reflect"
	"testing"

	"github.com/stretchr/testify/assert"

	"kneepoint/sim"
)

// Every number and word of a car has a key, so that whatever the model finds wrong can
// be placed in a file.
func TestEveryFieldHasItsKey(t *testing.T) {
	c := sim.Typical()
	c.Faults = []sim.Fault{{}}
	fields := 0
	var walk func(v reflect.Value)
	walk = func(v reflect.Value) {
		switch v.Kind() {
		case reflect.Struct:
			for i := range v.NumField() {
				walk(v.Field(i))
			}
			return
		case reflect.Slice:
			if v.Type().Elem().Kind() == reflect.Struct {
				walk(v.Index(0))
				return
			}
		}
		fields++
		path := c.FieldPath(v.Addr().Interface())
		_, _, known := keyOf(keyOfField(path))
		assert.True(t, known, "%s has no key", path)
	}
	walk(reflect.ValueOf(&c).Elem())
	assert.Greater(t, fields, 60)
	assert.Equal(t, "fault[2].area", keyOfField("Faults[2].Area"))
	assert.Equal(t, "booster.diameter", keyOfField("Booster.Diameters[1]"))
}
