package report

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"reflect"
	"strconv"
	"strings"

	"kneepoint/sim/answer"
)

// JSON writes the answer's document, indented by two spaces and with a line feed at
// the end, its keys in the order of the fields. A number that is not finite is an error
// that names its place; a document says null for what does not exist.
func JSON(w io.Writer, ans answer.Answer) error {
	var b bytes.Buffer
	if err := writeJSON(&b, ans.Document(), "  "); err != nil {
		return err
	}
	return writeInert(w, b.String())
}

// writeJSON writes a document on one line a value, each level indented, or on a single
// line where indent is empty.
func writeJSON(w io.Writer, doc any, indent string) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", indent)
	if err := e.Encode(doc); err != nil {
		var unsupported *json.UnsupportedValueError
		if errors.As(err, &unsupported) {
			if place, v := notFinite(reflect.ValueOf(doc), "", map[uintptr]bool{}); place != "" {
				return fmt.Errorf("JSON: %s is %g, which JSON cannot hold", place, v)
			}
		}
		return fmt.Errorf("JSON: %w", err)
	}
	return nil
}

// notFinite finds the first NaN or infinity below v and says where it is, as in
// "stops[2].line_pa". Pointers already being followed are not followed again.
func notFinite(v reflect.Value, place string, followed map[uintptr]bool) (string, float64) {
	switch v.Kind() {
	case reflect.Float32, reflect.Float64:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			if place == "" {
				place = "the document"
			}
			return place, f
		}
	case reflect.Interface:
		return notFinite(v.Elem(), place, followed)
	case reflect.Pointer:
		if v.IsNil() || followed[v.Pointer()] {
			return "", 0
		}
		followed[v.Pointer()] = true
		defer delete(followed, v.Pointer())
		return notFinite(v.Elem(), place, followed)
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			if at, f := notFinite(v.Index(i), place+"["+strconv.Itoa(i)+"]", followed); at != "" {
				return at, f
			}
		}
	case reflect.Map:
		for _, key := range v.MapKeys() {
			if at, f := notFinite(v.MapIndex(key), under(place, fmt.Sprint(key)), followed); at != "" {
				return at, f
			}
		}
	case reflect.Struct:
		if o, ok := optional(v); ok {
			return notFinite(reflect.ValueOf(o.Cell()), place, followed)
		}
		for i := range v.NumField() {
			field := v.Type().Field(i)
			name, _, _ := strings.Cut(field.Tag.Get("json"), ",")
			if name == "-" || (!field.IsExported() && !field.Anonymous) {
				continue
			}
			at := place
			if name != "" || !field.Anonymous {
				if name == "" {
					name = field.Name
				}
				at = under(place, name)
			}
			if at, f := notFinite(v.Field(i), at, followed); at != "" {
				return at, f
			}
		}
	}
	return "", 0
}

// optional is v if that is a number that may not exist, whatever its quantity.
func optional(v reflect.Value) (interface{ Cell() answer.Cell }, bool) {
	if !v.CanInterface() {
		return nil, false
	}
	o, ok := v.Interface().(interface{ Cell() answer.Cell })
	return o, ok
}

func under(place, name string) string {
	if place == "" {
		return name
	}
	return place + "." + name
}
