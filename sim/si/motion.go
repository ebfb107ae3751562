package si

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
