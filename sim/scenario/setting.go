package scenario

import (
	"strconv"

	"kneepoint/sim/si"
)

// exact is a number in the SI unit of a dimension, as a program has it.
type exact struct {
	dim si.Dimension
	v   float64
}

// toml is a text that reads as exactly the number.
func (e *exact) toml() string {
	if e.dim == si.DimRatio || e.dim == si.DimNone {
		return quantityText(e.dim, e.v)
	}
	return tomlText(quantityText(e.dim, e.v))
}

// SettingOf returns the setting of a path to a quantity.
func SettingOf[T si.Quantity](path string, v T) Setting {
	return SettingIn(path, v.Dimension(), float64(v))
}

// SettingIn is SettingOf for a value in the SI unit of a dimension.
func SettingIn(path string, dim si.Dimension, v float64) Setting {
	return Setting{Path: path, exact: &exact{dim, v}}
}

// QuantityText returns a text that reads as exactly the value, in the SI unit of the
// dimension: "9 in", "2 L".
func QuantityText(dim si.Dimension, v float64) string { return quantityText(dim, v) }

// whole returns the number as an integer, if it is one.
func (e *exact) whole() (int64, bool) {
	n, err := strconv.ParseInt(strconv.FormatFloat(e.v, 'f', -1, 64), 10, 64)
	return n, err == nil
}
