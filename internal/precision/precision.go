// Package precision says how closely models are solved: each study has a tolerance of its
// own, and a context can ask all of them for a tighter one, to see what their figures owe
// to the solver.
package precision

import (
	"context"

	"kneepoint/sim"
)

// finerKey is where a context holds how much more closely to solve.
type finerKey struct{}

// Finer returns a context under which every model made by [New] is solved to a tolerance
// that many times tighter than it would be.
func Finer(ctx context.Context, times float64) context.Context {
	return context.WithValue(ctx, finerKey{}, times)
}

// New assembles a car, to be solved to a relative tolerance for each step, or as much
// closer as the context asks for.
func New(ctx context.Context, c sim.Config, tolerance float64) (*sim.Model, error) {
	if times, ok := ctx.Value(finerKey{}).(float64); ok {
		tolerance /= times
	}
	return sim.New(c, sim.Tolerance(tolerance))
}
