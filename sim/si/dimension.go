package si

// Dimension says which physical quantity a number is.
type Dimension uint8

// The dimensions; each has a type of its own except DimNone, which is a plain number
// that stands for no quantity, such as a count.
const (
	DimNone         Dimension = iota
	DimPressure               // Pa, see [Pressure]
	DimVacuum                 // Pa below ambient, see [Vacuum]
	DimForce                  // N
	DimLength                 // m
	DimArea                   // m²
	DimVolume                 // m³
	DimMass                   // kg
	DimAcceleration           // m/s²
	DimSpeed                  // m/s
	DimTemperature            // K
	DimTime                   // s
	DimRotation               // 1/s
	DimStiffness              // N/m
	DimCompliance             // m³/Pa
	DimVolumeFlow             // m³/s
	DimMassFlow               // kg/s
	DimEnergy                 // J
	DimRatio                  // 1
	dimCount
)

var dimensionNames = [dimCount]string{
	DimNone:         "a plain number",
	DimPressure:     "a pressure",
	DimVacuum:       "a vacuum",
	DimForce:        "a force",
	DimLength:       "a length",
	DimArea:         "an area",
	DimVolume:       "a volume",
	DimMass:         "a mass",
	DimAcceleration: "an acceleration",
	DimSpeed:        "a speed",
	DimTemperature:  "a temperature",
	DimTime:         "a time",
	DimRotation:     "a speed of rotation",
	DimStiffness:    "a spring rate",
	DimCompliance:   "a compliance",
	DimVolumeFlow:   "a volume flow",
	DimMassFlow:     "a mass flow",
	DimEnergy:       "an energy",
	DimRatio:        "a ratio",
}

// String returns the name of the dimension with its article, as an error message wants
// it: "a pressure", "an area".
func (d Dimension) String() string {
	if d >= dimCount {
		return "an unknown dimension"
	}
	return dimensionNames[d]
}

// Quantity is any of the types of this package that carry a dimension.
type Quantity interface {
	~float64
	Dimension() Dimension
}
