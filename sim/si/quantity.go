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

// Time is a time in seconds.
type Time float64

// Dimension returns [DimTime].
func (Time) Dimension() Dimension { return DimTime }

// String prints t in SI units to four significant digits.
func (t Time) String() string { return FormatFine(DimTime, float64(t), SI) }

// Speed is a speed in metres per second.
type Speed float64

// Dimension returns [DimSpeed].
func (Speed) Dimension() Dimension { return DimSpeed }

// String prints s in SI units to four significant digits.
func (s Speed) String() string { return FormatFine(DimSpeed, float64(s), SI) }

// Acceleration is an acceleration in metres per second squared; a deceleration counts positive where the name says so.
type Acceleration float64

// Dimension returns [DimAcceleration].
func (Acceleration) Dimension() Dimension { return DimAcceleration }

// String prints a in SI units to four significant digits.
func (a Acceleration) String() string { return FormatFine(DimAcceleration, float64(a), SI) }

// Rotation is a speed of rotation in revolutions per second.
type Rotation float64

// Dimension returns [DimRotation].
func (Rotation) Dimension() Dimension { return DimRotation }

// String prints r in SI units to four significant digits.
func (r Rotation) String() string { return FormatFine(DimRotation, float64(r), SI) }

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

// Ratio is a number without a dimension: a boost ratio, an efficiency, a share of one.
type Ratio float64

// Dimension returns [DimRatio].
func (Ratio) Dimension() Dimension { return DimRatio }

// String prints r in SI units to four significant digits.
func (r Ratio) String() string { return FormatFine(DimRatio, float64(r), SI) }

// Temperature is an absolute temperature in kelvins.
type Temperature float64

// Dimension returns [DimTemperature].
func (Temperature) Dimension() Dimension { return DimTemperature }

// String prints t in SI units to four significant digits.
func (t Temperature) String() string { return FormatFine(DimTemperature, float64(t), SI) }
