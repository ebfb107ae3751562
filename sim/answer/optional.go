package answer

import (
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
)

// Optional is a quantity T that may not exist, in its SI unit. Its zero value does not,
// which is null in JSON.
type Optional[T ~float64] struct {
	value  T
	exists bool
}

// Of returns v, or what does not exist where v is NaN, as the model has it for a part
// that a car is without.
func Of[T ~float64](v T) Optional[T] {
	if math.IsNaN(float64(v)) {
		return Optional[T]{}
	}
	return Optional[T]{value: v, exists: true}
}

// None is the quantity that does not exist.
func None[T ~float64]() Optional[T] { return Optional[T]{} }

// As returns o as a quantity of another kind in its SI unit, or as a plain number, for
// what holds several kinds beside a dimension that says which.
func As[T, F ~float64](o Optional[F]) Optional[T] {
	return Optional[T]{value: T(o.value), exists: o.exists}
}

// Exists reports whether there is a quantity.
func (o Optional[T]) Exists() bool { return o.exists }

// Value returns the quantity. Where there is none it is NaN and never 0, so that no
// comparison with it holds.
func (o Optional[T]) Value() T {
	if !o.exists {
		return T(math.NaN())
	}
	return o.value
}

// Cell returns the quantity for a table, or nil.
func (o Optional[T]) Cell() Cell {
	if !o.exists {
		return nil
	}
	return float64(o.value)
}

// UnmarshalJSON reads a number, or null as none.
func (o *Optional[T]) UnmarshalJSON(data []byte) error {
	var v *float64
	if err := json.Unmarshal(data, &v); err != nil {
		return err
	}
	*o = Optional[T]{}
	if v != nil {
		*o = Of(T(*v))
	}
	return nil
}

// MarshalJSON writes the number, or null.
func (o Optional[T]) MarshalJSON() ([]byte, error) {
	if !o.exists {
		return []byte("null"), nil
	}
	return json.Marshal(float64(o.value))
}

// AppendBinary appends the quantity to the last bit, or nothing where there is none.
func (o Optional[T]) AppendBinary(b []byte) ([]byte, error) {
	if !o.exists {
		return b, nil
	}
	return binary.LittleEndian.AppendUint64(b, math.Float64bits(float64(o.value))), nil
}

// UnmarshalBinary reads what AppendBinary has appended.
func (o *Optional[T]) UnmarshalBinary(data []byte) error {
	*o = Optional[T]{}
	switch len(data) {
	case 0:
		return nil
	case 8:
		*o = Optional[T]{value: T(math.Float64frombits(binary.LittleEndian.Uint64(data))), exists: true}
		return nil
	}
	return fmt.Errorf("%d bytes, want none or 8", len(data))
}
