package si

// VolumeFlow is a volume flow in cubic metres per second.
type VolumeFlow float64

// Dimension returns [DimVolumeFlow].
func (VolumeFlow) Dimension() Dimension { return DimVolumeFlow }

// String prints v in SI units to four significant digits.
func (v VolumeFlow) String() string { return FormatFine(DimVolumeFlow, float64(v), SI) }

// MassFlow is a mass flow in kilograms per second.
type MassFlow float64

// Dimension returns [DimMassFlow].
func (MassFlow) Dimension() Dimension { return DimMassFlow }

// String prints m in SI units to four significant digits.
func (m MassFlow) String() string { return FormatFine(DimMassFlow, float64(m), SI) }

// Compliance is the volume a brake circuit takes up for each pascal of line pressure, in cubic metres per pascal.
type Compliance float64

// Dimension returns [DimCompliance].
func (Compliance) Dimension() Dimension { return DimCompliance }

// String prints c in SI units to four significant digits.
func (c Compliance) String() string { return FormatFine(DimCompliance, float64(c), SI) }
