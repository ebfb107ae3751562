package diagnose

import (
	"math"
	"slices"

	"kneepoint/internal/portable"
	"kneepoint/internal/workshop"
)

// A forecast is how the outcome of a trial is spread: the chance of every bin
// together with every class that is believed.
type forecast struct {
	bins
	trial   workshop.Trial
	classes []class
	joint   [][]float64 // by class and bin; all of it is 1
	prior   []float64   // of every class
	total   []float64   // of every bin
}

// bins are the possible outcomes of a trial: n, each from edge(i) to edge(i+1).
type bins struct {
	low, width float64
	n          int
}

// outcomeBins is how finely the outcomes of a test are told apart.
const outcomeBins = 64

// edge is the outcome at a number of bins from the first.
func (b bins) edge(i float64) float64 { return b.low + b.width*i }

// A prediction is the outcome of a trial under one hypothesis, normally distributed.
type prediction struct {
	class
	mean, dev, weight float64
}

func (s *prediction) below(v float64) float64 { return quickCDF((v - s.mean) / s.dev) }

// predictions are the outcomes of a trial under every hypothesis with more than some
// weight. One fades in up to twice that weight: many are as likely as each other to
// the last digits, and which of them are in must not hang on those.
func (l *Library) predictions(p *posterior, i int, least float64) []prediction {
	t := l.trials[i]
	scatter := t.Scatter(0)
	all := make([]prediction, 0, min(len(p.hypotheses), mostCounted))
	for k := range p.hypotheses {
		h := &p.hypotheses[k]
		weight := h.weight * clamp(h.weight/least-1, 0, 1)
		if !(weight > 0) || math.IsNaN(h.point.mean[i]) {
			continue
		}
		if t.ByChance() {
			all = append(all, prediction{h.class, h.point.mean[i], 1, weight})
			continue
		}
		mean, variance, _ := h.expect(t, h.point, i)
		all = append(all, prediction{h.class, mean, math.Sqrt(variance + scatter), weight})
	}
	return all
}

// tailed is the chance of an outcome beyond either end of the bins, which counts
// in the last of them.
const tailed = 1e-3

// reach returns the outcomes between which all but the tails of predictions lie. The
// farthest of them would jump with every faint hypothesis that comes or goes.
func reach(all []prediction) (low, high float64) {
	low, high = math.Inf(1), math.Inf(-1)
	sum := 0.0
	for _, s := range all {
		low, high = min(low, s.mean-cdfMost*s.dev), max(high, s.mean+cdfMost*s.dev)
		sum += s.weight
	}
	quantile := func(share float64) float64 {
		const halvings = 12
		a, b, fa, fb := low, high, 0.0, sum
		for range halvings {
			mid, f := (a+b)/2, 0.0
			for i := range all {
				f += all[i].weight * all[i].below(mid)
			}
			if f < share*sum {
				a, fa = mid, f
			} else {
				b, fb = mid, f
			}
		}
		return a + (b-a)*(share*sum-fa)/(fb-fa)
	}
	return quantile(tailed), quantile(1 - tailed)
}

// forecast spreads the outcome of a trial over bins under every hypothesis with
// at least some weight.
func (l *Library) forecast(p *posterior, i int, least float64) *forecast {
	t := l.trials[i]
	all := l.predictions(p, i, least)
	f := &forecast{trial: t}
	switch {
	case t.IsYesNo():
		f.bins = bins{0, 1, 2}
	case t.Counts():
		f.bins = bins{0, 1, workshop.MostStops + 1}
	default:
		low, high := 0.0, t.Most(l.sound.mean[i], &l.config)
		if len(all) > 0 { // else nothing that can be simulated is believed
			low, high = reach(all)
		}
		f.low, f.n = max(0, low), outcomeBins
		f.width = (high - f.low) / outcomeBins
	}
	byClass := map[class][]float64{}
	of := func(c class) []float64 {
		if byClass[c] == nil {
			byClass[c] = make([]float64, f.n)
			f.classes = append(f.classes, c)
		}
		return byClass[c]
	}
	for _, s := range all {
		f.put(of(s.class), s)
	}
	l.putAnything(f, i, of(unlistedClass), p.anything)
	slices.SortFunc(f.classes, compareClasses)
	for _, c := range f.classes {
		f.joint = append(f.joint, byClass[c])
	}
	f.addUp()
	return f
}

func compareClasses(x, y class) int {
	if x.a != y.a {
		return x.a - y.a
	}
	return x.b - y.b
}

// put adds a prediction to the bins of its class.
func (f *forecast) put(v []float64, s prediction) {
	if f.trial.IsYesNo() {
		chance := yes(f.trial, s.mean, s.dev*s.dev)
		v[0] += s.weight * (1 - chance)
		v[1] += s.weight * chance
		return
	}
	before := 0.0
	first := int(clamp((s.mean-cdfMost*s.dev-f.low)/f.width, 0, float64(f.n-1)))
	for k := first; k < f.n && before < 1; k++ {
		upTo := 1.0
		if k < f.n-1 {
			upTo = s.below(f.edge(float64(k + 1)))
		}
		v[k] += s.weight * (upTo - before)
		before = upTo
	}
}

// putAnything adds what is neither in the list nor a figure that is far off.
func (l *Library) putAnything(f *forecast, i int, v []float64, weight float64) {
	scatter := f.trial.Scatter(0)
	density, sum := make([]float64, f.n), 0.0
	for k := range density {
		at := f.edge(float64(k) + 0.5)
		if f.trial.IsYesNo() {
			at = float64(k)
		}
		sound, anything := l.anythingDensity(i, at, scatter)
		density[k] = untouched*sound + (1-untouched)*anything
		sum += density[k]
	}
	if end, timed := f.trial.WatchedTo(); timed {
		// What takes longer than the watch runs is one outcome.
		k := int(clamp((end-f.low)/f.width, 0, float64(f.n-1)))
		beyond := (1 - untouched) * (1 - l.nothingKnown(i).upTo(math.Nextafter(end, 0))) / f.width
		density[k] += beyond
		sum += beyond
	}
	for k, d := range density {
		v[k] += weight * d / sum
	}
}

// addUp makes all chances add up to 1.
func (f *forecast) addUp() {
	all := 0.0
	for _, v := range f.joint {
		for _, x := range v {
			all += x
		}
	}
	f.prior, f.total = make([]float64, len(f.classes)), make([]float64, f.n)
	for c, v := range f.joint {
		for k := range v {
			v[k] /= all
			f.prior[c] += v[k]
			f.total[k] += v[k]
		}
	}
}

// bits is the mutual information of the outcome and the class.
func (f *forecast) bits() float64 {
	bits := 0.0
	for c, v := range f.joint {
		for k, x := range v {
			if x > 0 {
				bits += x * portable.Log2(x/(f.prior[c]*f.total[k]))
			}
		}
	}
	return max(0, bits)
}
