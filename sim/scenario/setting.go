package scenario

import "kneepoint/sim/si"

// SettingOf returns the setting of a path to a quantity, as a text that reads as
// exactly the same value.
func SettingOf[T si.Quantity](path string, v T) Setting {
	return Setting{Path: path, Value: quantityText(v.Dimension(), float64(v))}
}
