//go:build sundials

package main

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"kneepoint/internal/bench/cvode/native"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// carResult is one drive's comparison: ours, CVODE in several settings, SciPy.
type carResult struct {
	*car
	us           *contender
	them, others []*contender
	tight        [3]float64 // ours at 1e-9 from the reference
}

// The errors at which times are compared, and the ratios aimed at.
var compareAt = []float64{1e-4, 1e-5, 1e-6}

const (
	goalBooster = 1.0 / 6
	goalClassic = 1.0
)

type results struct {
	cars     []*carResult
	classics []*classicResult
	rounds   int
	machine  string
	load     string // average before the run
	versions []string
	began    time.Time
	quick    bool
}

func (r *results) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "# Work and precision against CVODE and SciPy, %s\n\n", r.began.Format(time.DateOnly))
	fmt.Fprintf(&b, "`go -C internal/bench run -tags sundials ./cvode/workprecision`, %.0f s (%.0f s of processor time without SciPy) on %s, load average %s before and %s after; %s.\n\n",
		time.Since(r.began).Seconds(), native.CPU(), r.machine, r.load, load(), strings.Join(r.versions, "; "))
	if r.quick {
		b.WriteString("**A short run: too few timings and tolerances to quote.**\n\n")
	}
	fmt.Fprintf(&b, "All solvers in one run, one after the other at every tolerance, %d times; times are the process's processor time, the "+
		"median with the least and the greatest, set-up excluded on both sides. Times at equal error come from a straight line through the logarithms of the points "+
		"within %g decades of it. A ratio is our time over CVODE's best setting's.\n\n", r.rounds, reach)
	r.summary(&b)
	b.WriteString("\n## The booster\n\n" +
		"64 s, eight stops of 200 N, from one settled state; all land on the same break times and start anew there, none samples while timed. " +
		"Ours is package sim with internal/ode; the others run the same equations in C (-O2), which a test holds against the Go to rounding: CVODE from C with a dense Jacobian by differences, " +
		"SciPy through ctypes, once for each tolerance and on one car, because it is slow. CVODE has our absolute tolerances (each state's size times the relative one), also with its order limited to 4, and plain ones: a tenth of the most each state reaches, at whole decades. " +
		"Errors are the largest over a 5 ms grid, each as a share of its quantity's span in the reference, CVODE at 1e-11.\n")
	for _, c := range r.cars {
		c.write(&b)
	}
	r.writeClassics(&b)
	return b.String()
}

func ratioWord(v, goal float64) string {
	switch {
	case math.IsNaN(v):
		return "not reached"
	case v <= goal:
		return fmt.Sprintf("%.3f", v)
	}
	return fmt.Sprintf("%.3f (goal %.3f missed)", v, goal)
}

func (r *results) summary(b *strings.Builder) {
	b.WriteString("| ours / CVODE at an error of |")
	for _, e := range compareAt {
		fmt.Fprintf(b, " %.0e |", e)
	}
	b.WriteString("\n|---|" + strings.Repeat("---|", len(compareAt)) + "\n")
	line := func(name string, goal float64, ratios []float64) {
		fmt.Fprintf(b, "| %s |", name)
		for _, v := range ratios {
			fmt.Fprintf(b, " %s |", ratioWord(v, goal))
		}
		b.WriteString("\n")
	}
	var of [][]float64
	for _, c := range r.cars {
		of = append(of, c.ratios())
		line(c.String(), goalBooster, c.ratios())
	}
	line("**booster, geometric mean**", goalBooster, means(of))
	of = nil
	for _, c := range r.classics {
		of = append(of, c.ratios())
		line(c.String(), goalClassic, c.ratios())
	}
	if len(of) > 0 {
		line("**classic problems, geometric mean**", goalClassic, means(of))
	}
}

// means are geometric, over what is a number.
func means(of [][]float64) []float64 {
	out := make([]float64, len(compareAt))
	for i := range out {
		sum, n := 0.0, 0.0
		for _, v := range of {
			if !math.IsNaN(v[i]) {
				sum, n = sum+math.Log(v[i]), n+1
			}
		}
		out[i] = math.Exp(sum / n)
	}
	return out
}

func ratios(us *contender, them ...*contender) (out []float64) {
	for _, e := range compareAt {
		t, _ := best(them, e)
		out = append(out, us.at(e)/t)
	}
	return out
}

func (c *carResult) ratios() []float64     { return ratios(c.us, c.them...) }
func (c *classicResult) ratios() []float64 { return ratios(c.us, c.them) }

func (c *carResult) write(b *strings.Builder) {
	fmt.Fprintf(b, "\n### %s\n\n", c)
	fmt.Fprintf(b, "%d states. One right-hand side: %.0f ns in Go, %.0f ns in C. Spans: front chamber %.3g kPa, line %.3g MPa, hub %.3g mm. "+
		"Ours at 1e-9 lies %.0e, %.0e and %.0e of them from the reference.\n\n",
		len(c.y0), c.nanos[0], c.nanos[1], 1e-3*c.span[0], 1e-6*c.span[1], 1e3*c.span[2], c.tight[0], c.tight[1], c.tight[2])
	timesAtError(b, append(append([]*contender{c.us}, c.them...), c.others...))
	b.WriteString("\n| solver | rtol | front chamber | line | hub | largest | CPU ms | spread | RHS calls | steps |\n|---|---|---|---|---|---|---|---|---|---|\n")
	for _, k := range append(append([]*contender{c.us}, c.them...), c.others...) {
		for _, p := range k.points {
			note := p.spread()
			if p.note != "" {
				note = "once, " + p.note
			}
			fmt.Fprintf(b, "| %s | %.0e | %.1e | %.1e | %.1e | %.1e | %.3g | %s | %d | %d |\n",
				k.name, p.rel, p.off[0], p.off[1], p.off[2], p.worst(), 1e3*middle(p.cpu), note, p.rates, p.steps)
		}
	}
	for _, k := range c.them {
		for _, what := range k.gaveUp {
			fmt.Fprintf(b, "\nNot finished: %s.\n", what)
		}
	}
}

func timesAtError(b *strings.Builder, of []*contender) {
	b.WriteString("| CPU ms at an error of |")
	for _, e := range compareAt {
		fmt.Fprintf(b, " %.0e |", e)
	}
	b.WriteString("\n|---|" + strings.Repeat("---|", len(compareAt)) + "\n")
	for _, k := range of {
		fmt.Fprintf(b, "| %s |", k.name)
		for _, e := range compareAt {
			if v := k.at(e); math.IsNaN(v) {
				b.WriteString(" – |")
			} else {
				fmt.Fprintf(b, " %.3g |", 1e3*v)
			}
		}
		b.WriteString("\n")
	}
}

func (p *point) spread() string {
	return fmt.Sprintf("%.3g–%.3g", 1e3*slices.Min(p.cpu), 1e3*slices.Max(p.cpu))
}

func (r *results) writeClassics(b *strings.Builder) {
	if len(r.classics) == 0 {
		return
	}
	b.WriteString("\n## The classic problems\n\n" +
		"Hairer and Wanner II, section IV.10, and the Test Set for IVP Solvers 2.4: problems and end values from memory, checked by the tight runs below. " +
		"Both sides evaluate the same tables of rates and of the Jacobian, ours in Go, CVODE's in C; both have the Jacobian and the same absolute tolerances. " +
		"The error is that of the end state, the largest of |difference| / (|value| + size) with the size that the absolute tolerance is made of. " +
		"Tight runs are at 1e-12.\n\n" +
		"| problem | states | RHS ns, Go | RHS ns, C | tight runs differ | ours from the published end |\n|---|---|---|---|---|---|\n")
	for _, c := range r.classics {
		published := fmt.Sprintf("%.0e", c.agree[1])
		if c.want == nil {
			published = "none exact enough"
		}
		fmt.Fprintf(b, "| %s | %d | %.0f | %.0f | %.0e | %s |\n", c, c.Size(), c.nanos[0], c.nanos[1], c.agree[0], published)
	}
	for _, c := range r.classics {
		fmt.Fprintf(b, "\n### %s\n\n", c)
		timesAtError(b, []*contender{c.us, c.them})
		b.WriteString("\n| solver | rtol | error | CPU ms | spread | RHS calls | steps |\n|---|---|---|---|---|---|---|\n")
		for _, k := range []*contender{c.us, c.them} {
			for _, p := range k.points {
				fmt.Fprintf(b, "| %s | %.0e | %.1e | %.3g | %s | %d | %d |\n", k.name, p.rel, p.worst(), 1e3*middle(p.cpu), p.spread(), p.rates, p.steps)
			}
		}
	}
}

// figure shows time over error, both as logarithms.
func (r *results) figure() answer.Figure {
	fig := answer.Figure{
		Name: "workprecision", Title: "Processor time for the error achieved, " + r.began.Format(time.DateOnly), SharedX: true,
		Note: fmt.Sprintf("64 s, eight stops of 200 N. Median of %d; SciPy once. Lower and further left is better.", r.rounds),
	}
	for _, c := range r.cars {
		p := panel(c.short())
		roles := map[string]answer.Role{"SciPy Radau": answer.Third, "SciPy BDF": answer.Reference, "SciPy LSODA": answer.Shadow}
		p.Curves = append(p.Curves, curve(c.us, answer.Main), curve(c.them[1], answer.Second))
		for _, k := range c.others {
			p.Curves = append(p.Curves, curve(k, roles[k.name]))
		}
		fig.Panels = append(fig.Panels, p)
	}
	return fig
}

func (r *results) classicFigure() answer.Figure {
	fig := answer.Figure{
		Name: "workprecision-classic", Title: "Processor time for the error achieved on classic stiff problems, " + r.began.Format(time.DateOnly), SharedX: true,
		Note: fmt.Sprintf("Median of %d. Lower and further left is better.", r.rounds),
	}
	for _, c := range r.classics {
		p := panel(c.String())
		p.Curves = append(p.Curves, curve(c.us, answer.Main), curve(c.them, answer.Second))
		fig.Panels = append(fig.Panels, p)
	}
	return fig
}

func panel(name string) answer.Panel {
	return answer.Panel{
		X: answer.Axis{Label: "log10 of the error achieved", Dim: si.DimNone},
		Y: answer.Axis{Label: name + ", log10 of ms", Dim: si.DimNone},
	}
}

func curve(k *contender, role answer.Role) answer.Curve {
	c := answer.Curve{Label: k.name, Role: role, Dots: true}
	for _, p := range k.points {
		c.X = append(c.X, math.Log10(p.worst()))
		c.Y = append(c.Y, math.Log10(1e3*middle(p.cpu)))
	}
	return c
}
