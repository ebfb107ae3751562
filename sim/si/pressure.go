package si

// Pressure is a pressure in pascals: absolute for a gas, gauge (above ambient) for the
// brake fluid.
type Pressure float64

// Vacuum is a pressure below ambient in pascals: 0 at ambient, and at most the ambient
// pressure itself.
type Vacuum float64

// Vacuum returns how far the absolute pressure inside lies below p, which is the ambient
// pressure; it is negative when inside is above ambient.
func (p Pressure) Vacuum(inside Pressure) Vacuum { return Vacuum(p - inside) }

// Below returns the absolute pressure at which an ambient pressure of ambient leaves
// the vacuum v.
func (v Vacuum) Below(ambient Pressure) Pressure { return ambient - Pressure(v) }

// Dimension returns [DimPressure].
func (Pressure) Dimension() Dimension { return DimPressure }

// Dimension returns [DimVacuum].
func (Vacuum) Dimension() Dimension { return DimVacuum }

// String prints p in SI units to four significant digits.
func (p Pressure) String() string { return FormatFine(DimPressure, float64(p), SI) }

// String prints v in SI units to four significant digits.
func (v Vacuum) String() string { return FormatFine(DimVacuum, float64(v), SI) }
