package fit

import (
	"cmp"
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"kneepoint/internal/batch"
	"kneepoint/internal/portable"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// What is asked of a candidate: twice the logarithm of the likelihood ratio, each gauge's
// scatter being what the fit leaves of it, less its penalty. 6 to 10 is called strong evidence
// (Kass and Raftery 1995, by the documentation of the R package pcal, bfactor_interpret_kr:
// secondary copy). A rival that comes within as much is not told apart.
const (
	strong = 6.0
	// mostAdded is how many causes are taken in one after the other, and mostTried how many
	// are fitted in full after all were judged by their slopes.
	mostAdded = 3
	mostTried = 4
)

// A Proposal is a cause that the program found by itself.
type Proposal struct {
	Cause Cause
	// Score is how much better it explains the logs: twice the logarithm of the likelihood
	// ratio less the penalty for its unknowns and for the choice.
	Score float64
	// Found are its unknowns with their values, and Others what the unknowns that were asked
	// for would be with it, in SI.
	Found, Others []Named
	// Gauge is the one that gains most, RMS what the model misses it by, before and after.
	Gauge         string
	Before, After float64
	// Rivals explain the logs about as well.
	Rivals []Proposal

	candidate *candidate
	dim       si.Dimension
	x         []float64
}

// A Named is a value of an unknown.
type Named struct {
	unknown
	Value float64
	// Of names it with its log, where there are several.
	Of string
}

func (f *Fit) named(u *unknown, x float64) Named {
	v := Fitted{Name: u.Name, Log: f.nameOf(u.log)}
	return Named{*u, u.value(x), v.name()}
}

// findings are what the program found by itself.
type findings struct {
	// Added were taken in one after the other, Fault was not: it explains what is left.
	Added []Proposal
	Fault *Proposal
	// without are what the unknowns that were asked for would be without what was added.
	without []Named
}

// extended looks for causes besides the unknowns that were asked for, and takes in those that
// explain the logs far better, but for faults.
func (f *Fit) extended(ctx context.Context, s *solution, progress batch.Progress) (*solution, *findings, error) {
	found := &findings{without: f.asked(s.best.X)}
	if len(f.doubts(si.SI)) > 0 {
		return s, found, nil // a cause of what is no reading would mislead
	}
	for range mostAdded {
		proposals, err := f.proposals(ctx, s, progress)
		if err != nil {
			return nil, nil, err
		}
		if len(proposals) == 0 {
			break
		}
		best := proposals[0]
		for _, p := range proposals[1:] {
			if p.Score > best.Score-strong {
				best.Rivals = append(best.Rivals, p)
			}
		}
		if best.Cause == ByFault {
			found.Fault = &best
			break
		}
		f = f.with(best.candidate)
		s, err = f.solve(ctx, best.x, progress)
		if err != nil {
			return nil, nil, err
		}
		found.Added = append(found.Added, best)
	}
	return s, found, nil
}

// asked are the unknowns that were asked for, at some car.
func (f *Fit) asked(x []float64) []Named {
	var out []Named
	for j, u := range f.unknowns {
		if u.asked {
			out = append(out, f.named(&u, x[j]))
		}
	}
	return out
}

// proposals are the candidates that explain the logs far better, the best first. One that is
// no fault goes before a fault that explains them about as well.
func (f *Fit) proposals(ctx context.Context, s *solution, progress batch.Progress) ([]Proposal, error) {
	of := newProbing(f, s)
	gauges := f.ofGauges()
	candidates := append(slices.Clone(gauges), f.ofEngines()...)
	if of.structured() {
		candidates = append(candidates, f.ofDefaults()...)
		candidates = append(candidates, f.ofFaults()...)
	}
	trials := make([]trial, len(candidates))
	p, err := f.play(ctx, s.best.X, foot{})
	if err != nil {
		return nil, err
	}
	for i := range gauges { // by turns: they read one run
		trials[i] = of.judge(&candidates[i], func(g *Fit, x []float64) ([]float64, error) {
			return g.misses(&played{tracks: p.tracks, habits: g.habitsAt(x)}), nil
		})
	}
	_, err = batch.ForEach(ctx, len(candidates)-len(gauges), nil, func(ctx context.Context, i int) error {
		i += len(gauges)
		trials[i] = of.judge(&candidates[i], func(g *Fit, x []float64) ([]float64, error) {
			p, err := g.play(ctx, x, foot{})
			if err != nil {
				return nil, err
			}
			return g.misses(p), nil
		})
		return ctx.Err()
	})
	if err != nil {
		return nil, err
	}
	for i := range trials {
		trials[i].score -= candidates[i].penalty(len(of.residuals), len(candidates))
	}
	slices.SortStableFunc(trials, func(a, b trial) int { return cmp.Compare(b.score, a.score) })
	var out []Proposal
	for _, t := range trials[:min(mostTried, len(trials))] {
		if t.score < strong/2 {
			break
		}
		if p, ok := of.inFull(ctx, t, len(candidates), progress); ok && p.Score > strong {
			out = append(out, p)
		}
		if ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
	}
	slices.SortStableFunc(out, func(a, b Proposal) int { return cmp.Compare(b.Score, a.Score) })
	if i := slices.IndexFunc(out, func(p Proposal) bool { return p.Cause != ByFault }); i > 0 && out[i].Score > out[0].Score-strong {
		first := out[i]
		out = slices.Insert(slices.Delete(out, i, i+1), 0, first)
	}
	return out, nil
}

// probing judges candidates at the best car without them: all other unknowns are free to
// follow, in a straight line.
type probing struct {
	f         *Fit
	s         *solution
	residuals []float64
	sums      []float64 // by channel
	counts    []float64
	floors    []float64 // the same sums of what no model meets
	normal    mat.Cholesky
}

// A trial is a candidate with how much it seems to gain, and where.
type trial struct {
	c     *candidate
	score float64
	x     []float64
}

func newProbing(f *Fit, s *solution) *probing {
	p := &probing{f: f, s: s, residuals: s.best.Residuals}
	p.sums, p.counts = f.channelSums(p.residuals)
	finest := make([]float64, 0, len(p.residuals))
	for i, left := range f.left {
		if !left {
			finest = append(finest, f.gaugeOf(f.data[i].channel).modelled()/s.deviations[i])
		}
	}
	p.floors, _ = f.channelSums(finest)
	k := len(s.best.X)
	normal := mat.NewSymDense(k, nil)
	normal.SymOuterK(1, s.best.Jacobian.T())
	for j := range k {
		normal.SetSym(j, j, normal.At(j, j)+1/(searchPull*searchPull))
	}
	p.normal.Factorize(normal)
	return p
}

// structured reports whether what is left is more than the gauges scatter.
func (p *probing) structured() bool {
	misses := p.f.unscaled(p.residuals, p.s.deviations)
	for c := range p.f.channels {
		g := p.f.gaugeFit(c, misses, p.s.deviations)
		if g.Patterned || g.Scatter > muchMore*g.Noise {
			return true
		}
	}
	return false
}

// free is what is left of residuals once the unknowns have followed, and by how much they do.
func (p *probing) free(r []float64) (left, follow []float64) {
	j := p.s.best.Jacobian
	n, k := j.Dims()
	step := mat.NewVecDense(k, nil)
	step.MulVec(j.T(), mat.NewVecDense(n, r))
	if p.normal.SolveVecTo(step, step) != nil {
		return r, make([]float64, k)
	}
	out := mat.NewVecDense(n, nil)
	out.MulVec(j, step)
	left = slices.Clone(r)
	for i := range left {
		left[i] -= out.AtVec(i)
	}
	for i := range k {
		follow = append(follow, -step.AtVec(i))
	}
	return left, follow
}

// judge tries a candidate, by what the model then misses.
func (p *probing) judge(c *candidate, misses func(g *Fit, x []float64) ([]float64, error)) trial {
	out := trial{c: c, score: math.Inf(-1)}
	g := p.f.with(c)
	here, _ := p.free(p.residuals)
	for _, try := range c.tries {
		at := c.scaled(try)
		m, err := misses(g, append(slices.Clone(p.s.best.X), at...))
		if err != nil {
			continue // impossible on this car
		}
		there, _ := p.free(g.scaled(m, p.s.deviations))
		// Between here and there the residuals go in a straight line; the best is on it, or
		// a little beyond.
		const beyond = 1.5
		along, squares := 0.0, 0.0
		for i := range here {
			d := there[i] - here[i]
			along -= here[i] * d
			squares += d * d
		}
		if squares < 1e-6 {
			continue // nothing of it shows
		}
		share := min(along/squares, beyond)
		if c.cause == ByEngine {
			share = 1 // no straight line: an engine that never ran holds no vacuum
		}
		if share <= 0 {
			continue
		}
		left := make([]float64, len(here))
		for i := range left {
			left[i] = here[i] + share*(there[i]-here[i])
		}
		if score := p.gain(left); score > out.score {
			_, follow := p.free(g.scaled(m, p.s.deviations))
			out.score, out.x = score, slices.Clone(p.s.best.X)
			for j := range out.x {
				out.x[j] += share * follow[j]
			}
			out.x = append(out.x, c.sharedBy(try, share)...)
		}
	}
	return out
}

// gain is twice the logarithm of the likelihood ratio of residuals to those without the
// candidate.
func (p *probing) gain(residuals []float64) float64 {
	sums, _ := p.f.channelSums(residuals)
	sum := 0.0
	for c := range sums {
		sum += p.counts[c] * portable.Log((p.sums[c]+p.floors[c])/(sums[c]+p.floors[c]))
	}
	return sum
}

// modelled is how closely a model of this kind can meet a gauge of a dimension (estimate):
// what it misses by less has no cause that a log could show.
func (g gauge) modelled() float64 {
	if g.dim == si.DimPressure {
		return 10e3
	}
	return 100
}

// inFull fits a candidate with all other unknowns.
func (p *probing) inFull(ctx context.Context, t trial, candidates int, progress batch.Progress) (Proposal, bool) {
	g := p.f.with(t.c)
	best, err := g.search(ctx, t.x, p.s.deviations, progress)
	if err != nil {
		from := append(slices.Clone(p.s.best.X), t.x[len(p.s.best.X):]...)
		if best, err = g.search(ctx, from, p.s.deviations, progress); err != nil {
			return Proposal{}, false
		}
	}
	out := Proposal{
		Cause: t.c.cause, Score: p.gain(best.Residuals) - t.c.penalty(len(p.residuals), candidates),
		Others: g.asked(best.X), candidate: t.c, x: best.X,
	}
	first := len(p.s.best.X)
	for j := range t.c.unknowns {
		u, x := &g.unknowns[first+j], best.X[first+j]
		const edge = 1e-3
		if u.Name != scenario.KeySourceVacuum && (x <= u.scaled(u.low)+edge && u.low != 0 || x >= u.scaled(u.high)-edge) {
			return out, false // at its limit it is no explanation
		}
		out.Found = append(out.Found, g.named(u, x))
	}
	sums, _ := g.channelSums(best.Residuals)
	most := 0
	for c := range sums {
		if p.sums[c]*sums[most] > p.sums[most]*sums[c] {
			most = c
		}
	}
	out.Gauge, out.dim = p.f.column(most).Header, p.f.gaugeOf(most).dim
	out.Before, out.After = p.rms(p.residuals, most), p.rms(best.Residuals, most)
	return out, true
}

// rms is what a model misses a gauge by, in SI.
func (p *probing) rms(residuals []float64, channel int) float64 {
	sum, n := 0.0, 0.0
	for i, m := range p.f.unscaled(residuals, p.s.deviations) {
		if p.f.data[i].channel == channel && !p.f.left[i] {
			rows := float64(p.f.pointOf(i).Rows)
			sum += rows * m * m
			n += rows
		}
	}
	return math.Sqrt(sum / n)
}
