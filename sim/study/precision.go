package study

import (
	"context"

	"kneepoint/sim"
)

// finerKey is where a context holds how much more closely to solve.
type finerKey struct{}

// Finer returns a context under which every study solves its models to a
// tolerance that many times tighter than usual, to see what its figures owe to
// the solver.
func Finer(ctx context.Context, times float64) context.Context {
	return context.WithValue(ctx, finerKey{}, times)
}

// model assembles a car as closely as the context asks for.
func model(ctx context.Context, c sim.Config) (*sim.Model, error) {
	return modelWithin(ctx, c, sim.DefaultTolerance)
}

func modelWithin(ctx context.Context, c sim.Config, tolerance float64) (*sim.Model, error) {
	if times, ok := ctx.Value(finerKey{}).(float64); ok {
		tolerance /= times
	}
	return sim.New(c, sim.Tolerance(tolerance))
}
