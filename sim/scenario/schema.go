package scenario

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"

	"kneepoint/sim/si"
)

// SchemaFile is the name under which a scenario that is started names its schema.
const SchemaFile = "kneepoint.schema.json"

// Schema returns a JSON Schema (2020-12) of a scenario, for editors of TOML: every table
// and key with its meaning, its words, and its default. It is stricter than reading where
// an editor is of more help so: a whole number is no text, and no key is unknown.
func Schema() map[string]any {
	root := objectSchema("A vacuum brake booster with its engine and car, and what is asked about them.")
	root["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	root["$id"] = "urn:kneepoint:scenario"
	root["title"] = "kneepoint scenario"
	for i := range keys {
		k := &keys[i]
		parts := strings.Split(k.path, ".")
		at := root
		for depth, name := range parts[:len(parts)-1] {
			at = tableSchema(at, name, depth == 0 && repeated(name))
		}
		at["properties"].(map[string]any)[parts[len(parts)-1]] = k.schema()
		for _, other := range k.alternatives {
			if stem(other) == stem(k.path) && other > k.path {
				both, _ := at["allOf"].([]any)
				at["allOf"] = append(both, map[string]any{"not": map[string]any{"required": []any{leaf(k.path), leaf(other)}}})
			}
		}
	}
	return root
}

func objectSchema(what string) map[string]any {
	o := map[string]any{"type": "object", "additionalProperties": false, "properties": map[string]any{}}
	if what != "" {
		o["description"] = what
	}
	return o
}

// tableSchema returns the schema of a table below another, of an element where there can
// be several.
func tableSchema(above map[string]any, name string, several bool) map[string]any {
	properties := above["properties"].(map[string]any)
	if known, ok := properties[name].(map[string]any); ok {
		if several {
			return known["items"].(map[string]any)
		}
		return known
	}
	table := objectSchema("")
	if several {
		properties[name] = map[string]any{"type": "array", "maxItems": mostElements, "items": table}
	} else {
		properties[name] = table
	}
	return table
}

// schema is that of the key's value.
func (k *key) schema() map[string]any {
	t := k.typeOf()
	one := k.oneSchema(t)
	if t.Kind() == reflect.Slice {
		item := k.oneSchema(t.Elem())
		one = map[string]any{"anyOf": []any{item, map[string]any{"type": "array", "items": item, "minItems": 1, "maxItems": k.most}}}
	}
	one["description"] = k.description()
	if text := k.defaultTOML(); text != "" {
		one["default"] = json.RawMessage(text)
	}
	return one
}

// description is the meaning, with limits where a pattern cannot hold them.
func (k *key) description() string {
	text := k.doc
	if limits := k.limitsText(si.SI); limits != "" {
		text += " (" + limits + ")"
	}
	return text
}

// digits is what a quantity has at least: it may have fractions, tolerances and many units.
const digits = "[0-9]"

func (k *key) oneSchema(t reflect.Type) map[string]any {
	switch {
	case t == reflect.TypeFor[BoosterSize]():
		return map[string]any{"type": "string"}
	case t.Kind() == reflect.Bool:
		return map[string]any{"type": "boolean"}
	case t.Kind() == reflect.Int:
		return map[string]any{"type": "integer", "minimum": k.from, "maximum": k.to}
	case t.Kind() == reflect.Float64 && (k.dim == si.DimRatio || k.dim == si.DimNone):
		number := map[string]any{"type": "number"}
		if k.limited {
			number["minimum"], number["maximum"] = k.from, k.to
		}
		return map[string]any{"anyOf": []any{number, map[string]any{"type": "string", "pattern": digits}}}
	case t.Kind() == reflect.Float64:
		return map[string]any{"type": "string", "pattern": digits}
	case k.choices != nil:
		words := make([]any, len(k.choices))
		for i, c := range k.choices {
			words[i] = c
		}
		return map[string]any{"enum": slices.Clip(words)}
	}
	return map[string]any{"type": "string"}
}

// defaultTOML is the default as a document has it; empty where there is none, and where it
// depends on other values.
func (k *key) defaultTOML() string {
	name, _, _ := strings.Cut(k.path, ".")
	if repeated(name) {
		return ""
	}
	s := k.usualOf()
	ptr := k.at(s, 0)
	if !k.used(s, 0) || k.way && reflect.ValueOf(ptr).Elem().IsZero() || s.saidOtherwise(k) {
		return ""
	}
	if _, set := s.set[k.path]; set {
		return ""
	}
	return k.encode(ptr)
}
