package sim

import (
	"fmt"
	"reflect"
)

// FieldPath returns the place in the configuration of the field that a pointer points
// to: "Booster.Ratio", "Faults[0].Area". It is empty for a pointer to anything else.
func (c *Config) FieldPath(field any) string {
	path, _ := pathTo(reflect.ValueOf(c).Elem(), "", field)
	return path
}

func pathTo(v reflect.Value, path string, field any) (string, bool) {
	if v.Addr().Interface() == field {
		return path, true
	}
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			name := v.Type().Field(i).Name
			if path != "" {
				name = path + "." + name
			}
			if found, ok := pathTo(v.Field(i), name, field); ok {
				return found, true
			}
		}
	case reflect.Slice:
		for i := range v.Len() {
			if found, ok := pathTo(v.Index(i), fmt.Sprintf("%s[%d]", path, i), field); ok {
				return found, true
			}
		}
	}
	return "", false
}
