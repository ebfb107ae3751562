package scenario

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"kneepoint/sim/si"
)

// mismatch says why a value does not suit its key.
type mismatch struct{ read, want string }

// decode puts the value into the field that ptr points to. It returns the half
// width of a tolerance, in SI.
func (k *key) decode(ptr any, v value) (halfWidth float64, wrong *mismatch) {
	field := reflect.ValueOf(ptr).Elem()
	if field.Kind() != reflect.Slice {
		return k.decodeOne(field, v)
	}
	items := k.items(v)
	if len(items) == 0 {
		return 0, &mismatch{v.read(), "at least one " + strings.TrimPrefix(strings.TrimPrefix(k.oneWant(field.Type().Elem()), "a "), "an ")}
	}
	if len(items) > k.most {
		return 0, &mismatch{v.read(), fmt.Sprintf("at most %d", k.most)}
	}
	list := reflect.MakeSlice(field.Type(), len(items), len(items))
	for i, item := range items {
		half, wrong := k.decodeOne(list.Index(i), item)
		if wrong != nil {
			return 0, wrong
		}
		if half > 0 && len(items) > 1 {
			return 0, &mismatch{item.read(), "a list without tolerances"}
		}
		halfWidth = half
	}
	field.Set(list)
	return halfWidth, nil
}

// items returns what a list holds. A single value stands for a list of one, a
// flag may leave out quotes and brackets, and diameters may be joined by a plus.
func (k *key) items(v value) []value {
	switch {
	case v.kind == listValue:
		return v.items
	case v.kind != textValue:
		return []value{v}
	}
	texts := []string{v.text}
	switch {
	case v.bare:
		texts = strings.Split(strings.TrimSuffix(strings.TrimPrefix(strings.TrimSpace(v.text), "["), "]"), ",")
		if k.path == KeyBoosterDiameter && len(texts) == 1 {
			texts = diameterTexts(texts[0])
		}
	case k.path == KeyBoosterDiameter:
		texts = diameterTexts(v.text)
	case k.path == KeyChooseBoosters:
		texts = strings.Split(v.text, ",")
	}
	items := make([]value, len(texts))
	for i, text := range texts {
		items[i] = value{kind: textValue, text: withoutQuotes(strings.TrimSpace(text))}
		if !v.bare && len(texts) == 1 {
			items[i].text = text
		}
	}
	return items
}

// withoutQuotes takes off the quotes around a text, and not the sign for inches at its end.
func withoutQuotes(text string) string {
	if n := len(text); n > 1 && text[0] == text[n-1] && (text[0] == '"' || text[0] == '\'') {
		return text[1 : n-1]
	}
	return text
}

func (k *key) decodeOne(field reflect.Value, v value) (halfWidth float64, wrong *mismatch) {
	if size, ok := field.Addr().Interface().(*BoosterSize); ok {
		return 0, decodeBoosterSize(size, v)
	}
	switch field.Kind() {
	case reflect.Float64:
		n, half, wrong := k.quantity(v)
		if wrong != nil {
			return 0, wrong
		}
		field.SetFloat(n)
		return half, nil
	case reflect.Int:
		if v.kind == exactValue {
			n, ok := v.exact.whole()
			if !ok {
				return 0, &mismatch{v.read(), k.oneWant(field.Type())}
			}
			field.SetInt(n)
			return 0, nil
		}
		n, err := strconv.Atoi(strings.TrimSpace(strings.ReplaceAll(v.text, "_", "")))
		if err != nil || v.kind != numberValue && v.kind != textValue {
			return 0, &mismatch{v.read(), k.oneWant(field.Type())}
		}
		field.SetInt(int64(n))
		return 0, nil
	case reflect.Bool:
		b, ok := truth(v)
		if !ok {
			return 0, &mismatch{v.read(), k.oneWant(field.Type())}
		}
		field.SetBool(b)
		return 0, nil
	default:
		if v.kind != textValue || k.choices != nil && !slices.Contains(k.choices, v.text) {
			return 0, &mismatch{v.read(), k.oneWant(field.Type())}
		}
		field.SetString(v.text)
		return 0, nil
	}
}

// oneWant says what one value of the key must be.
func (k *key) oneWant(t reflect.Type) string {
	switch {
	case t == reflect.TypeFor[BoosterSize]():
		return boosterSizeWant
	case t.Kind() == reflect.Bool:
		return "true or false"
	case t.Kind() == reflect.Int:
		return fmt.Sprintf("a whole number from %g to %g", k.from, k.to)
	case t.Kind() == reflect.Float64:
		return k.dim.String()
	case k.choices != nil:
		quoted := make([]string, len(k.choices))
		for i, c := range k.choices {
			quoted[i] = strconv.Quote(c)
		}
		return alternation(quoted)
	default:
		return "a text in quotes"
	}
}

// alternation joins words as a choice.
func alternation(words []string) string {
	if len(words) == 1 {
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

func truth(v value) (b, ok bool) {
	if v.kind != boolValue && v.kind != textValue {
		return false, false
	}
	switch strings.ToLower(v.text) {
	case "true", "yes":
		return true, true
	case "false", "no":
		return false, true
	}
	return false, false
}

// quantity reads a value of the key's dimension, with its tolerance.
func (k *key) quantity(v value) (n, halfWidth float64, wrong *mismatch) {
	plain := k.dim == si.DimRatio || k.dim == si.DimNone
	switch {
	case v.kind == exactValue && (math.IsNaN(v.exact.v) || math.IsInf(v.exact.v, 0)):
		return 0, 0, &mismatch{v.read(), "a finite number"}
	case v.kind == exactValue:
		return v.exact.v, 0, nil
	case v.kind == numberValue && plain:
		n, err := tomlNumber(v.text)
		if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
			return 0, 0, &mismatch{v.read(), "a finite number"}
		}
		return n, 0, nil
	case v.kind == numberValue:
		return 0, 0, &mismatch{v.read() + " without a unit", k.withUnits(v.text)}
	case v.kind != textValue && plain:
		return 0, 0, &mismatch{v.read(), "a number"}
	case v.kind != textValue:
		return 0, 0, &mismatch{v.read(), k.dim.String() + " as a text with its unit"}
	}
	n, halfWidth, err := si.ParseSpread(k.dim, v.text)
	var bad *si.ParseError
	switch {
	case err == nil:
		return n, halfWidth, nil
	case cantTell(v.text):
		return 0, 0, &mismatch{v.read(), k.dim.String() + ", or the line left out: what is usual is taken then"}
	}
	if wrong := k.wrongRange(v); wrong != nil {
		return 0, 0, wrong
	}
	switch {
	case errors.As(err, &bad) && plain:
		return 0, 0, &mismatch{v.read() + ", which " + bad.Reason, "a number"}
	case errors.As(err, &bad) && inTable(k.path, "car") && strings.HasPrefix(leaf(k.path), "tyre_"):
		return 0, 0, &mismatch{v.read() + ", which " + bad.Reason, `a length, e.g. "13 in", or the size on the tyre's side, e.g. "P205/70R14"`}
	case errors.As(err, &bad):
		return 0, 0, &mismatch{v.read() + ", which " + bad.Reason, bad.Want}
	}
	return 0, 0, &mismatch{v.read(), err.Error()}
}

// wrongRange says what is wrong with a text that reads as a range or a bound; nil for
// others.
func (k *key) wrongRange(v value) *mismatch {
	low, high, err := si.ParseRange(k.dim, v.text)
	var bad *si.ParseError
	switch {
	case err == nil && (math.IsInf(low, 0) || math.IsInf(high, 0)):
		return &mismatch{v.read() + ", which is open at one end", "a figure, or a range with both ends"}
	case errors.As(err, &bad) && (bad.Reason == "begins above its end" || bad.Reason == "has no unit"):
		return &mismatch{v.read() + ", which " + bad.Reason, bad.Want}
	}
	return nil
}

// withUnits shows a number as it would be right, in the units that the key is usually
// given in.
func (k *key) withUnits(number string) string {
	first, second := k.dim.Unit(si.SI).Name, k.dim.Unit(si.US).Name
	if size, ok := partSizes[k.path]; ok && size.units != nil {
		first, second = size.units[1], size.units[0]
	}
	if k.dim == si.DimVacuum {
		number = strings.TrimPrefix(number, "-") // a gauge that counts down from the air's pressure
	}
	text := tomlText(number + " " + first)
	if second != first {
		text += " or " + tomlText(number+" "+second)
	}
	return text
}

func tomlNumber(text string) (float64, error) {
	text = strings.ReplaceAll(text, "_", "")
	if n, err := strconv.ParseInt(text, 0, 64); err == nil && strings.HasPrefix(strings.TrimLeft(text, "+-"), "0") {
		return float64(n), nil
	}
	return strconv.ParseFloat(text, 64)
}

func decodeBoosterSize(size *BoosterSize, v value) *mismatch {
	if v.kind != textValue && v.kind != numberValue {
		return &mismatch{v.read(), boosterSizeWant}
	}
	read, err := parseBoosterSize(v.text)
	if err != nil {
		return &mismatch{v.read() + ", which " + err.Error(), boosterSizeWant}
	}
	*size = read
	return nil
}

// outside says what limit of the key the field breaks, in a system of units.
func (k *key) outside(ptr any, system si.System) *mismatch {
	if !k.limited {
		return nil
	}
	field := reflect.ValueOf(ptr).Elem()
	if field.Kind() == reflect.Slice {
		for i := range field.Len() {
			if wrong := k.outside(field.Index(i).Addr().Interface(), system); wrong != nil {
				return wrong
			}
		}
		return nil
	}
	n, dim := 0.0, k.dim
	if field.Kind() == reflect.Int {
		n, dim = float64(field.Int()), si.DimNone
	} else {
		n = field.Float()
	}
	if n >= k.from && n <= k.to {
		return nil
	}
	fine := func(v float64) string { return si.FormatFine(dim, v, system) }
	return &mismatch{fine(n), fine(k.from) + " to " + fine(k.to)}
}
