package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"kneepoint/internal/leastsquares"
	"kneepoint/sim/si"
)

// A Fitted is one unknown with what the log says of it, in SI. What does not exist is NaN.
type Fitted struct {
	Name string
	// Log names the log whose own it is, where there are several.
	Log             string
	Dim             si.Dimension
	Start, Estimate float64
	// Error is the standard error, Low to High the 95 % range; they do not exist where
	// the log does not fix the unknown, or a limit does.
	Error, Low, High float64
	// Asked says that it was asked for, or is among the usual ones; the vacuum at the
	// start never is.
	Asked bool
	// Added says that the program proposed it.
	Added bool
	// AtLimit says that the search ended at a limit of what the model takes.
	AtLimit bool
	// Silent says that the log has nothing to say about it; Indistinguishable, that it has, but
	// together with others only.
	Silent, Indistinguishable bool
	// AtMost is, for a leak that does not show, the largest that could hide in the scatter
	// in 95 logs of 100; NaN otherwise.
	AtMost float64
	// error is on the scale of the search.
	error float64
	found bool // the search began at a leak that the scenario has not
}

// name is the name with that of the log, where there are several.
func (v *Fitted) name() string {
	if v.Log == "" {
		return v.Name
	}
	return v.Name + " of " + v.Log
}

// A Combination is of unknowns that the log does not tell apart: it shows only this of them.
type Combination struct {
	Unknowns []string
	// Shows is "ratio", "product", or "combination".
	Shows string
	// Value is the ratio or product of two in SI, NaN otherwise; Error its standard error
	// with the second one held.
	Value, Error  float64
	first, second *Fitted // the two
}

// A Result is what a log says about a car.
type Result struct {
	Unknowns []Fitted
	// Correlation is that of the errors, in the order of the unknowns; NaN where none.
	Correlation       *mat.SymDense
	Indistinguishable []Combination
	Gauges            []GaugeFit
	Converged         bool
	Steps             int

	// Outliers are readings that were left out.
	Outliers []Outlier

	title  string
	fit    *Fit
	played *played
	misses []float64 // model less log, of all data, in SI
	findings
}

// fixedWithin is the standard error, on that scale, up to which a log fixes an unknown:
// a factor of 2 to either side in the 95 % range (estimate).
const fixedWithin = 0.35

// judge says how well each unknown is fixed.
func (r *Result) judge(best *leastsquares.Fit) {
	p := best.Precision()
	n := len(best.X)
	quantile := math.NaN()
	if p.Freedom > 0 {
		quantile = distuv.StudentsT{Sigma: 1, Nu: float64(p.Freedom)}.Quantile(0.975)
	}
	none := math.NaN()
	r.Correlation = mat.NewSymDense(n, nil)
	for j, x := range best.X {
		u := &r.fit.unknowns[j]
		v := Fitted{
			Name: u.Name, Log: r.fit.nameOf(u.log), Dim: u.Dim, Start: u.start, Estimate: u.value(x), Asked: u.asked, Added: u.added, found: u.found,
			Error: none, Low: none, High: none, AtMost: none, error: p.Error[j],
		}
		const edge = 1e-6
		least := u.low
		if u.linear == 0 {
			least = max(least, math.SmallestNonzeroFloat64)
		}
		v.AtLimit = x <= u.scaled(least)+edge || x >= u.scaled(u.high)-edge
		switch {
		case v.AtLimit:
		case p.Alone[j] > fixedWithin:
			v.Silent = true
			// What a small leak does is in proportion to it, so that its error is, too.
			if u.isLeak() && !math.IsInf(p.Error[j], 1) {
				v.AtMost = v.Estimate * (1 + quantile*p.Error[j])
			}
		case p.Error[j] > fixedWithin:
			v.Indistinguishable = true
		default:
			v.Error = math.Abs(u.slope(x)) * p.Error[j]
			v.Low, v.High = u.value(x-quantile*p.Error[j]), u.value(x+quantile*p.Error[j])
		}
		r.Unknowns = append(r.Unknowns, v)
	}
	for i := range n {
		for j := range i + 1 {
			c := p.Correlation.At(i, j)
			if r.Unknowns[i].AtLimit || r.Unknowns[j].AtLimit || r.Unknowns[i].Silent || r.Unknowns[j].Silent || math.IsInf(c, 0) {
				c = none
			}
			r.Correlation.SetSym(i, j, c)
		}
	}
	r.combine(p)
}

// combine finds the combinations of unknowns that the log does not tell apart: the
// directions, by the singular values, along which it fixes nothing.
func (r *Result) combine(p leastsquares.Precision) {
	const part = 0.25 // share of a direction from which an unknown belongs to it
	for d, along := range p.Along {
		if along <= fixedWithin {
			continue
		}
		var members []int
		for j := range r.Unknowns {
			if r.Unknowns[j].Indistinguishable && math.Abs(p.Directions.At(j, d)) > part {
				members = append(members, j)
			}
		}
		if len(members) < 2 {
			continue
		}
		b := Combination{Shows: "combination", Value: math.NaN(), Error: math.NaN()}
		for _, j := range members {
			b.Unknowns = append(b.Unknowns, r.Unknowns[j].name())
		}
		if len(members) == 2 {
			r.pair(&b, members[0], members[1], p.Directions.At(members[0], d), p.Directions.At(members[1], d), p)
		}
		r.Indistinguishable = append(r.Indistinguishable, b)
	}
}

// pair says what of two unknowns shows: their ratio where both can grow together,
// their product where one can grow as the other shrinks.
func (r *Result) pair(b *Combination, i, j int, vi, vj float64, p leastsquares.Precision) {
	a, c := &r.fit.unknowns[i], &r.fit.unknowns[j]
	const even = 0.25
	if a.linear > 0 || c.linear > 0 || math.Abs(math.Abs(vi/vj)-1) > even {
		return
	}
	x, y := r.Unknowns[i].Estimate, r.Unknowns[j].Estimate
	b.Shows, b.Value = "ratio", x/y
	if vi*vj < 0 {
		b.Shows, b.Value = "product", x*y
	}
	b.first, b.second = &r.Unknowns[i], &r.Unknowns[j]
	// What is left of the first one's error if the second is known.
	held := p.Error[i] * math.Sqrt(1-p.Correlation.At(i, j)*p.Correlation.At(i, j))
	if math.IsInf(p.Error[i], 1) || math.IsNaN(held) {
		held = p.Alone[i]
	}
	b.Error = b.Value * held
}
