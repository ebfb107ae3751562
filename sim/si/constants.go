package si

// Units as multiples of the SI unit. They are untyped, so that 10*Inch is a [Length]
// where a length is wanted and InchOfMercury serves a [Pressure] and a [Vacuum].
//
// Inch, foot, pound and gallon follow their legal definitions in metres and kilograms,
// the others follow from these and from the standard acceleration of free fall. Columns
// of mercury are conventional: 13 595.1 kg/m³ under standard free fall.
const (
	StandardGravity    = 9.80665  // m/s²
	StandardAtmosphere = 101325.0 // Pa
	ZeroCelsius        = 273.15   // K

	Inch = 0.0254      // m
	Foot = 12 * Inch   // m
	Mile = 5280 * Foot // m

	SquareInch = Inch * Inch        // m²
	CubicInch  = Inch * Inch * Inch // m³
	CubicFoot  = Foot * Foot * Foot // m³
	Litre      = 1e-3               // m³
	Gallon     = 231 * CubicInch    // m³, US liquid
	Quart      = Gallon / 4         // m³, US liquid

	Pound         = 0.45359237              // kg, avoirdupois
	PoundForce    = Pound * StandardGravity // N
	KilogramForce = StandardGravity         // N

	PoundPerSquareInch  = PoundForce / SquareInch            // Pa
	Bar                 = 1e5                                // Pa
	MillimetreOfMercury = 13595.1 * StandardGravity * 1e-3   // Pa
	InchOfMercury       = MillimetreOfMercury * (Inch * 1e3) // Pa

	Minute       = 60.0              // s
	Hour         = 3600.0            // s
	MilePerHour  = Mile / Hour       // m/s
	RevPerMinute = 1.0 / Minute      // 1/s
	FootPound    = Foot * PoundForce // J

	fahrenheitDegree = 5.0 / 9.0                         // K
	zeroFahrenheit   = ZeroCelsius - 32*fahrenheitDegree // K
)
