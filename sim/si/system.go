package si

// System is a family of units to print in.
type System uint8

// The systems of units.
const (
	SI System = iota // kPa, MPa, N, mm, L, °C
	US               // inHg, psi, lbf, in, in³, °F
)

// ParseSystem reads the name of a system of units, "si" or "us". The error is a
// [*ParseError].
func ParseSystem(text string) (System, error) {
	switch text {
	case "si":
		return SI, nil
	case "us":
		return US, nil
	}
	return SI, &ParseError{Text: text, Reason: "is not a system of units", Want: `"si" or "us"`}
}

// String returns the name that [ParseSystem] reads.
func (s System) String() string {
	if s == US {
		return "us"
	}
	return "si"
}
