package scenario

import (
	"reflect"
	"strconv"
	"strings"

	"kneepoint/sim/si"
)

// baseUnits are the units in which a text gives an SI value exactly.
var baseUnits = map[si.Dimension]string{
	si.DimPressure: "Pa", si.DimVacuum: "Pa", si.DimForce: "N", si.DimLength: "m", si.DimArea: "m2", si.DimVolume: "m3",
	si.DimMass: "kg", si.DimAcceleration: "m/s2", si.DimSpeed: "m/s", si.DimTemperature: "K", si.DimTime: "s",
	si.DimRotation: "rps", si.DimStiffness: "N/m", si.DimCompliance: "m3/Pa", si.DimVolumeFlow: "m3/s",
}

// encode returns the field as a document has it: a text that reads as exactly
// the same value, in the usual unit where that gives it.
func (k *key) encode(ptr any) string {
	field := reflect.ValueOf(ptr).Elem()
	if field.Kind() == reflect.Slice {
		items := make([]string, field.Len())
		for i := range items {
			items[i] = k.encode(field.Index(i).Addr().Interface())
		}
		return "[" + strings.Join(items, ", ") + "]"
	}
	if size, ok := ptr.(*BoosterSize); ok {
		return tomlText(size.Text)
	}
	switch field.Kind() {
	case reflect.Float64:
		return k.encodeQuantity(field.Float())
	case reflect.Int:
		return strconv.FormatInt(field.Int(), 10)
	case reflect.Bool:
		return strconv.FormatBool(field.Bool())
	default:
		return tomlText(field.String())
	}
}

func (k *key) encodeQuantity(v float64) string {
	text := quantityText(k.dim, v)
	if k.dim == si.DimRatio || k.dim == si.DimNone {
		return text
	}
	return tomlText(text)
}

// quantityText returns a text that [si.Parse] reads as exactly v.
func quantityText(dim si.Dimension, v float64) string {
	unit, ok := baseUnits[dim]
	if !ok {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	best := strconv.FormatFloat(v, 'g', -1, 64) + " " + unit
	for _, system := range []si.System{si.SI, si.US} {
		fine := asciiUnits.Replace(si.FormatFine(dim, v, system))
		if reads(dim, fine, v) {
			return fine
		}
		if text := inUnit(dim, v, fine); text != "" && len(text) < len(best) {
			best = text
		}
	}
	return best
}

// inUnit returns the shortest text that reads as v in the unit that it was printed
// with, or nothing where there is none.
func inUnit(dim si.Dimension, v float64, printed string) string {
	_, name, _ := strings.Cut(printed, " ")
	one, err := si.Parse(dim, "1 "+name)
	zero, err0 := si.Parse(dim, "0 "+name)
	if err != nil || err0 != nil {
		return ""
	}
	const most = 17 // digits that tell every number from the next
	for digits := 5; digits <= most; digits++ {
		text := strconv.FormatFloat((v-zero)/(one-zero), 'g', digits, 64) + " " + name
		if reads(dim, text, v) {
			return text
		}
	}
	return ""
}

// reads reports whether the text is exactly v.
func reads(dim si.Dimension, text string, v float64) bool {
	n, err := si.Parse(dim, text)
	return err == nil && n == v
}

// asciiUnits brings printed units to the letters that every keyboard has.
var asciiUnits = strings.NewReplacer("²", "2", "³", "3", "°", "")

// numbers returns the field's value, or values, in SI; ok is false where it is
// no quantity.
func (k *key) numbers(ptr any) (v []float64, ok bool) {
	field := reflect.ValueOf(ptr).Elem()
	switch {
	case field.Kind() == reflect.Float64:
		return []float64{field.Float()}, true
	case field.Kind() == reflect.Slice && field.Type().Elem().Kind() == reflect.Float64:
		for i := range field.Len() {
			v = append(v, field.Index(i).Float())
		}
		return v, true
	}
	return nil, false
}
