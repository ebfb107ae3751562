package si

// Ratio is a number without a dimension: a boost ratio, an efficiency, a share of one.
type Ratio float64

// Dimension returns [DimRatio].
func (Ratio) Dimension() Dimension { return DimRatio }

// String prints r in SI units to four significant digits.
func (r Ratio) String() string { return FormatFine(DimRatio, float64(r), SI) }
