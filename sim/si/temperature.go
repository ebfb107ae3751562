package si

// Temperature is an absolute temperature in kelvins.
type Temperature float64

// Dimension returns [DimTemperature].
func (Temperature) Dimension() Dimension { return DimTemperature }

// String prints t in SI units to four significant digits.
func (t Temperature) String() string { return FormatFine(DimTemperature, float64(t), SI) }
