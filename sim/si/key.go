package si

// keys says, for SI and US in turn, what a data file holds and how its keys end. SI
// values go out as they are.
var keys = [dimCount][2]Unit{
	DimNone:         {plainKey(""), plainKey("")},
	DimPressure:     {plainKey("_pa"), scaledKey("_psi", PoundPerSquareInch)},
	DimVacuum:       {plainKey("_pa"), scaledKey("_inhg", InchOfMercury)},
	DimForce:        {plainKey("_n"), scaledKey("_lbf", PoundForce)},
	DimLength:       {plainKey("_m"), scaledKey("_in", Inch)},
	DimArea:         {plainKey("_m2"), scaledKey("_in2", SquareInch)},
	DimVolume:       {plainKey("_m3"), scaledKey("_in3", CubicInch)},
	DimMass:         {plainKey("_kg"), scaledKey("_lb", Pound)},
	DimAcceleration: {plainKey("_mps2"), scaledKey("_ftps2", Foot)},
	DimSpeed:        {plainKey("_mps"), scaledKey("_mph", MilePerHour)},
	DimTemperature:  {plainKey("_k"), {Scale: fahrenheitDegree, Offset: zeroFahrenheit, KeySuffix: "_f"}},
	DimTime:         {plainKey("_s"), plainKey("_s")},
	DimRotation:     {plainKey("_rps"), scaledKey("_rpm", RevPerMinute)},
	DimStiffness:    {plainKey("_npm"), scaledKey("_lbfpin", PoundForce/Inch)},
	DimCompliance:   {plainKey("_m3ppa"), scaledKey("_in3ppsi", CubicInch/PoundPerSquareInch)},
	DimVolumeFlow:   {plainKey("_m3ps"), scaledKey("_cfm", CubicFoot/Minute)},
	DimMassFlow:     {plainKey("_kgps"), scaledKey("_lbpmin", Pound/Minute)},
	DimEnergy:       {plainKey("_j"), scaledKey("_ftlbf", FootPound)},
	DimRatio:        {plainKey(""), plainKey("")},
}

func plainKey(suffix string) Unit { return scaledKey(suffix, 1) }

func scaledKey(suffix string, scale float64) Unit {
	return Unit{Scale: scale, KeySuffix: suffix}
}

func (d Dimension) key(sys System) Unit {
	if d >= dimCount {
		d = DimNone
	}
	if sys != US {
		sys = SI
	}
	return keys[d][sys]
}

// Convert returns the SI value v as a data file of the system holds it, in the unit that
// [Unit.KeySuffix] names: SI values as they are, US values in psi, inHg, lbf, in and so
// on. To show a number in the unit of a chart, use [Unit.Of].
func Convert(d Dimension, v float64, sys System) float64 { return d.key(sys).Of(v) }
