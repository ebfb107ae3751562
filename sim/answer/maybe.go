package answer

import (
	"encoding/json"
	"math"
)

// Maybe is a number that may not exist: NaN stands for that, and is null in JSON.
type Maybe float64

// None is the number that does not exist.
func None() Maybe { return Maybe(math.NaN()) }

// Exists reports whether there is a number.
func (m Maybe) Exists() bool { return !math.IsNaN(float64(m)) }

// Cell returns the number for a table, or nil.
func (m Maybe) Cell() Cell {
	if !m.Exists() {
		return nil
	}
	return float64(m)
}

// UnmarshalJSON reads a number, or null as none.
func (m *Maybe) UnmarshalJSON(data []byte) error {
	if string(data) == "null" {
		*m = None()
		return nil
	}
	return json.Unmarshal(data, (*float64)(m))
}

// MarshalJSON writes the number, or null.
func (m Maybe) MarshalJSON() ([]byte, error) {
	if !m.Exists() {
		return []byte("null"), nil
	}
	return json.Marshal(float64(m))
}
