package scenario

import (
	"encoding/json"
	"strings"

	"kneepoint/sim/si"
)

// Plain returns the value for JSON: a number in SI, a list of them, or else what the
// document has, which for words, true and false, and lists of them is JSON too.
func (e Entry) Plain() any {
	switch len(e.SI) {
	case 0:
		return json.RawMessage(e.TOML)
	case 1:
		return e.SI[0]
	}
	return e.SI
}

// SIUnit returns the unit of the numbers of Plain, as keys end with it: "pa"; empty for
// none.
func (e Entry) SIUnit() string {
	if e.SI == nil {
		return ""
	}
	return strings.TrimPrefix(e.Dim.Unit(si.SI).KeySuffix, "_")
}
