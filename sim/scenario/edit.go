package scenario

import (
	"reflect"

	"kneepoint/sim/si"
)

// With returns the scenario with one value changed, and all worked out anew that
// follows from it. The value is typed as for a flag: "9 in", "4.2", "true". The
// error is an [*InputError].
func (s *Scenario) With(path, value string) (*Scenario, error) {
	return s.Edit([]Setting{{Path: path, Value: value}})
}

// WithSI is With for a quantity or a ratio in SI.
func (s *Scenario) WithSI(path string, v float64) (*Scenario, error) {
	dim := si.DimNone
	if k, _, ok := keyOf(path); ok {
		dim = k.dim
	}
	return s.Edit([]Setting{SettingIn(path, dim, v)})
}

// Edit returns the scenario with values changed and others left to their
// defaults again; the paths of these may name whole tables, "reservoir" or
// "fault", but not single elements. The error is an [*InputError].
func (s *Scenario) Edit(set []Setting, unset ...string) (*Scenario, error) {
	in := s.input.clone()
	for _, path := range unset {
		in.drop(path)
	}
	for _, change := range set {
		in.dropBelow(change.Path, in.layers+1)
	}
	if problems := in.put(set); len(problems) > 0 {
		return nil, inputError(problems)
	}
	return resolve(in)
}

// Known reports whether there is a key of the path.
func Known(path string) bool {
	_, _, ok := keyOf(path)
	return ok
}

// Dimension returns the dimension of the values of a path; ok is false for an
// unknown path, and for one that holds no quantity and no number.
func Dimension(path string) (dim si.Dimension, ok bool) {
	k, _, ok := keyOf(path)
	if !ok {
		return si.DimNone, false
	}
	switch t := k.typeOf(); t.Kind() {
	case reflect.Int, reflect.Float64:
		return k.dim, true
	case reflect.Slice:
		return k.dim, t.Elem().Kind() == reflect.Float64
	}
	return si.DimNone, false
}
