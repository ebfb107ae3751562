package si

// Force is a force in newtons.
type Force float64

// Dimension returns [DimForce].
func (Force) Dimension() Dimension { return DimForce }

// String prints f in SI units to four significant digits.
func (f Force) String() string { return FormatFine(DimForce, float64(f), SI) }

// Mass is a mass in kilograms.
type Mass float64

// Dimension returns [DimMass].
func (Mass) Dimension() Dimension { return DimMass }

// String prints m in SI units to four significant digits.
func (m Mass) String() string { return FormatFine(DimMass, float64(m), SI) }

// Stiffness is the rate of a spring in newtons per metre.
type Stiffness float64

// Dimension returns [DimStiffness].
func (Stiffness) Dimension() Dimension { return DimStiffness }

// String prints s in SI units to four significant digits.
func (s Stiffness) String() string { return FormatFine(DimStiffness, float64(s), SI) }

// Energy is an energy in joules.
type Energy float64

// Dimension returns [DimEnergy].
func (Energy) Dimension() Dimension { return DimEnergy }

// String prints e in SI units to four significant digits.
func (e Energy) String() string { return FormatFine(DimEnergy, float64(e), SI) }
