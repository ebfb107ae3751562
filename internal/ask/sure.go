package ask

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r1"
	"gonum.org/v1/gonum/stat/distmv"
	"gonum.org/v1/gonum/stat/samplemv"

	"kneepoint/internal/batch"
	"kneepoint/internal/verdict"
	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A Surety is the share of cars, drawn with all figures that are not known anywhere in
// their ranges at once, that do no worse by each verdict; none where all is known.
type Surety struct {
	Everyday, Panic, Dead float64
	// Drawn is how many cars were drawn; two standard errors of a share are within Error.
	Drawn int
	Error float64
}

// The cars that are drawn, scrambled Halton points: the same question gets the same answer.
const (
	draws    = 32
	drawSeed = 20261127
)

// sure draws cars. Every value of a range is taken as equally likely, and of two kinds
// each; a car that the model refuses is left out.
func (c *Car) sure(ctx context.Context, base stand, w batch.Progress) (*Surety, error) {
	n := len(c.Unknown)
	if n == 0 {
		return nil, nil
	}
	bounds := make([]r1.Interval, n)
	for i := range bounds {
		bounds[i] = r1.Interval{Min: 0, Max: 1}
	}
	points := mat.NewDense(draws, n, nil)
	samplemv.Halton{Kind: samplemv.Owen, Q: distmv.NewUniform(bounds, nil), Src: rand.NewPCG(drawSeed, 0)}.Sample(points)
	found, err := c.standings(ctx, draws, w, func(k int) []scenario.Setting { return c.drawn(points.RawRowView(k)) })
	if err != nil {
		return nil, err
	}
	out := &Surety{}
	for _, s := range found {
		if s == nil {
			continue
		}
		out.Drawn++
		out.Everyday += same(class(s.full.Everyday) <= class(base.full.Everyday))
		out.Panic += same(class(s.full.Panic.Pedal) <= class(base.full.Panic.Pedal))
		out.Dead += same(s.dead >= base.dead)
	}
	if out.Drawn == 0 {
		return nil, nil
	}
	drawn := float64(out.Drawn)
	out.Everyday, out.Panic, out.Dead = out.Everyday/drawn, out.Panic/drawn, out.Dead/drawn
	out.Error = 1 / math.Sqrt(drawn) // twice the error of a share of a half, where it is most
	return out, nil
}

// class ranks a pedal force by what is said of it, 0 for the lightest.
func class(f answer.Optional[si.Force]) int {
	switch {
	case !f.Exists():
		return 3
	case f.Value() <= verdict.EasyPedal:
		return 0
	case f.Value() <= verdict.HeavyPedal:
		return 1
	}
	return 2
}

func same(yes bool) float64 {
	if yes {
		return 1
	}
	return 0
}

// drawn are the settings of a point of the unit cube.
func (c *Car) drawn(u []float64) []scenario.Setting {
	var set []scenario.Setting
	var kinds []scenario.Setting
	for i := range c.Unknown {
		f := &c.Unknown[i]
		switch {
		case f.Other == "":
			set = append(set, f.put(f.Low+u[i]*(f.High-f.Low))...)
		case u[i] < 0.5:
			kinds = append(kinds, f.other...)
		}
	}
	// A brake of another kind has pistons and a size of its own.
	var out []scenario.Setting
	for _, s := range set {
		if !clashes(s.Path, kinds) {
			out = append(out, s)
		}
	}
	return append(out, kinds...)
}

// clashes says that a setting is replaced by one of others.
func clashes(path string, others []scenario.Setting) bool {
	for _, o := range others {
		if o.Path == path || sameBrake(o.Path, path) {
			return true
		}
	}
	return false
}

// sameBrake says that one path is a piston's diameter and the other its area.
func sameBrake(diameter, area string) bool {
	of, is := strings.CutSuffix(diameter, ".piston_diameter")
	return is && area == of+".piston_area"
}
