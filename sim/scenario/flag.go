package scenario

import (
	"reflect"
	"strconv"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"kneepoint/internal/pattern"
)

// A Setting is one value for one path, both as they are typed: the value is
// TOML, or the bare text of a quantity or word. One made by [SettingOf] or [SettingIn]
// carries a number instead, which is not read again.
type Setting struct {
	Path, Value string
	exact       *exact
}

// ParseSetting takes "path=value" apart. The error is an [*InputError].
func ParseSetting(text string) (Setting, error) {
	path, val, ok := strings.Cut(text, "=")
	path = strings.TrimSpace(path)
	if !ok || path == "" {
		return Setting{}, inputError([]Problem{place{}.problem(asKey(text),
			strconv.Quote(shorten(text)), `path=value, such as source.vacuum="11 inHg"`)})
	}
	return Setting{Path: path, Value: val}, nil
}

// asValue reads the text of a flag as TOML where it is TOML, or else as it stands.
func asValue(text string) value {
	text = strings.TrimSpace(text)
	d := document{data: append([]byte("x = "), text...)}
	d.parser.Reset(d.data)
	if !d.parser.NextExpression() || d.parser.Expression().Kind != unstable.KeyValue {
		return value{kind: textValue, text: text, bare: true}
	}
	v := d.value(d.parser.Expression().Value())
	if d.parser.NextExpression() || d.parser.Error() != nil || v.kind == otherValue {
		return value{kind: textValue, text: text, bare: true}
	}
	return v
}

// asKey shows as a key, on one line, what was typed for one.
func asKey(text string) string {
	text = shorten(strings.TrimSpace(text))
	if q := strconv.Quote(text); text == "" || strings.Contains(q, `\`) {
		return q
	}
	return text
}

var indexed = pattern.Lazy(`^([a-z_]+)\[(\d+)\]`)

// put adds settings as one layer over all that was written before. Within a
// layer, and against the one below, a key takes the place of its alternatives.
func (in *input) put(settings []Setting) []Problem {
	in.layers++
	var problems []Problem
	var at place
	for _, s := range settings {
		k, i, ok := keyOf(s.Path)
		if !ok {
			name := s.Path
			if m := indexed().FindStringSubmatch(name); m == nil && repeated(strings.SplitN(name, ".", 2)[0]) {
				table, rest, _ := strings.Cut(name, ".")
				problems = append(problems, at.problem(asKey(name), "no index", table+"[0]."+rest+" for the first [["+table+"]]"))
				continue
			}
			if isTable(name) {
				problems = append(problems, at.problem(name, "a table", "a key in it, such as "+firstKeyOf(name)))
				continue
			}
			problems = append(problems, at.problem(asKey(name), "an unknown key", nearestKey(name)))
			continue
		}
		if m := indexed().FindStringSubmatch(s.Path); m != nil && i > in.elements(m[1]) {
			problems = append(problems, at.problem(s.Path, "index "+m[2],
				"at most "+strconv.Itoa(in.elements(m[1]))+", which is one more than there are"))
			continue
		} else if m != nil {
			in.tables[m[0]] = in.tableOr(m[0], at)
		}
		for _, other := range k.alternatives {
			in.dropBelow(other, in.layers)
		}
		v := asValue(s.Value)
		switch t := k.typeOf(); {
		case s.exact != nil:
			v = value{kind: exactValue, exact: s.exact}
		case t.Kind() == reflect.String:
			v = asText(v, s.Value)
		case t.Kind() == reflect.Slice && v.bare:
			v = asList(k.items(v))
		}
		v.bare = false
		in.settings = append(in.settings, setting{path: s.Path, value: v, place: at, layer: in.layers})
	}
	return problems
}

// asText keeps a word such as true or 5 a word where one is wanted.
func asText(v value, written string) value {
	if v.kind == textValue {
		return v
	}
	return value{kind: textValue, text: strings.TrimSpace(written), bare: true}
}

// asList keeps a single item, which stands for a list of one, as it was typed.
func asList(items []value) value {
	if len(items) == 1 {
		return items[0]
	}
	return value{kind: listValue, items: items}
}

func (in *input) tableOr(name string, p place) place {
	if was, ok := in.tables[name]; ok {
		return was
	}
	return p
}

// elements counts the elements of a repeated table.
func (in *input) elements(table string) int {
	n := 0
	for name := range in.tables {
		if m := indexed().FindStringSubmatch(name); m != nil && m[1] == table {
			i, _ := strconv.Atoi(m[2])
			n = max(n, i+1)
		}
	}
	return n
}

// dropBelow removes a path's settings of lower layers.
func (in *input) dropBelow(path string, layer int) {
	kept := in.settings[:0]
	for _, s := range in.settings {
		if s.path != path || s.layer == layer {
			kept = append(kept, s)
		}
	}
	in.settings = kept
}

// firstKeyOf returns the key of a table that people know a figure of, or else its first.
func firstKeyOf(table string) string {
	for i := range keys {
		if k := &keys[i]; inTable(k.path, table) && k.main && k.choices == nil {
			return k.path
		}
	}
	for i := range keys {
		if inTable(keys[i].path, table) {
			return keys[i].path
		}
	}
	return table
}

// blank returns a scenario with room for element i of the key's table.
func blank(k *key, i int) *Scenario {
	s := &Scenario{}
	s.grow(k, i+1)
	return s
}
