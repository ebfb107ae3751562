package scenario

import "kneepoint/sim/si"

// SettingOf returns the setting of a path to a quantity, as a text that reads as
// exactly the same value.
func SettingOf[T si.Quantity](path string, v T) Setting {
	return Setting{Path: path, Value: quantityText(v.Dimension(), float64(v))}
}

// SettingIn is SettingOf for a value in the SI unit of a dimension.
func SettingIn(path string, dim si.Dimension, v float64) Setting {
	return Setting{Path: path, Value: quantityText(dim, v)}
}
