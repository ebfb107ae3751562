package si

// Length is a length in metres.
type Length float64

// Dimension returns [DimLength].
func (Length) Dimension() Dimension { return DimLength }

// String prints l in SI units to four significant digits.
func (l Length) String() string { return FormatFine(DimLength, float64(l), SI) }

// Area is an area in square metres.
type Area float64

// Dimension returns [DimArea].
func (Area) Dimension() Dimension { return DimArea }

// String prints a in SI units to four significant digits.
func (a Area) String() string { return FormatFine(DimArea, float64(a), SI) }

// Volume is a volume in cubic metres.
type Volume float64

// Dimension returns [DimVolume].
func (Volume) Dimension() Dimension { return DimVolume }

// String prints v in SI units to four significant digits.
func (v Volume) String() string { return FormatFine(DimVolume, float64(v), SI) }
