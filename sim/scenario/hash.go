package scenario

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"reflect"
	"strconv"
	"strings"
)

// Hash returns a hex SHA-256 of all values that an answer can depend on. Two
// scenarios with the same hash give the same answers; how the values were
// written, and the title, have no part in it.
func (s *Scenario) Hash() string {
	h := sha256.New()
	s.each(func(k *key, i int) {
		field := reflect.ValueOf(k.at(s, i)).Elem()
		if k.path == "title" || k.worked() || k.way && field.IsZero() {
			return
		}
		fmt.Fprintf(h, "%s = %s\n", k.full(i), canonical(field))
	})
	for _, t := range s.Spreads {
		fmt.Fprintf(h, "%s ± %s\n", t.Path, canonical(reflect.ValueOf(t.HalfWidth)))
	}
	if s.estimated {
		fmt.Fprintln(h, "source.vacuum is estimated")
	}
	return hex.EncodeToString(h.Sum(nil))
}

// worked reports whether another key holds what was worked out from this one.
func (k *key) worked() bool {
	switch leaf(k.path) {
	case "altitude", "measured_at", "piston_diameter", "pistons", "cylinders", "cylinder_bore", "residual", "vacuum_in_neutral", "tyre_diameter", "rotor_diameter", "drum_diameter":
		return true
	}
	return inTable(k.path, "cam")
}

// canonical returns a field's value in SI, in full.
func canonical(field reflect.Value) string {
	switch field.Kind() {
	case reflect.Float64:
		return strconv.FormatFloat(field.Float(), 'g', -1, 64)
	case reflect.Slice:
		items := make([]string, field.Len())
		for i := range items {
			items[i] = canonical(field.Index(i))
		}
		return "[" + strings.Join(items, ", ") + "]"
	case reflect.Struct:
		return canonical(field.FieldByName("Diameters"))
	default:
		return fmt.Sprintf("%#v", field.Interface())
	}
}
