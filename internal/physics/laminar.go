//go:build sundials

package physics

// Laminar returns the width of the linear branch of the flow function and the
// factor that goes with it, for a copy of the function in another language.
func Laminar() (width, scale float64) { return laminar, laminarScale }
