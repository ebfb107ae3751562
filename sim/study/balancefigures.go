package study

import (
	"fmt"

	"kneepoint/internal/verdict"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

const balanceNote = "No wheel locked; load moves with deceleration × centre height / wheelbase. " + planningNote

// Figures are the loads with the brake forces, the adhesion used by each axle,
// and what a valve changes.
func (r *BalanceResult) Figures() []answer.Figure {
	figures := []answer.Figure{r.loadFigure(), r.adhesionFigure()}
	if len(r.Cases) > 1 {
		figures = append(figures, r.valveFigure())
	}
	return figures
}

// over takes one quantity of the points against the deceleration.
func over(c *BalanceCase, label string, role answer.Role, of func(verdict.Braking) float64) answer.Curve {
	out := answer.Curve{Label: label, Role: role}
	for _, p := range c.Points {
		out.X = append(out.X, float64(p.Deceleration))
		out.Y = append(out.Y, of(p))
	}
	return out
}

func decelerationAxis() answer.Axis {
	return answer.Axis{Label: "Deceleration", Dim: si.DimAcceleration}
}

// loadFigure shows why front brakes are larger: the share of the weight that
// each axle carries is the share of the braking it can do.
func (r *BalanceResult) loadFigure() answer.Figure {
	c := &r.Cases[0]
	loads := answer.Panel{X: decelerationAxis(), Y: answer.Axis{Label: "Axle load", Dim: si.DimForce}, Curves: []answer.Curve{
		over(c, "front", answer.Main, func(p verdict.Braking) float64 { return float64(p.FrontLoad) }),
		over(c, "rear", answer.Second, func(p verdict.Braking) float64 { return float64(p.RearLoad) }),
	}}
	forces := answer.Panel{X: decelerationAxis(), Y: answer.Axis{Label: "Brake force", Dim: si.DimForce}, Curves: []answer.Curve{
		over(c, "front", answer.Main, func(p verdict.Braking) float64 { return float64(p.FrontForce) }),
		over(c, "rear", answer.Second, func(p verdict.Braking) float64 { return float64(p.RearForce) }),
		over(c, "front, ideal", answer.Reference, func(p verdict.Braking) float64 { return p.Rate() * float64(p.FrontLoad) }),
		over(c, "rear, ideal", answer.Reference, func(p verdict.Braking) float64 { return p.Rate() * float64(p.RearLoad) }),
	}}
	return answer.Figure{Name: "balance", Title: answer.Titled("Why front brakes are larger", r.title),
		Panels: []answer.Panel{loads, forces}, SharedX: true, Note: "Ideal: each axle brakes in proportion to its load. " + balanceNote}
}

func (r *BalanceResult) adhesionFigure() answer.Figure {
	c := &r.Cases[0]
	p := answer.Panel{X: decelerationAxis(), Y: answer.Axis{Label: "Adhesion used"}, Curves: []answer.Curve{
		over(c, "front axle", answer.Main, frontUses),
		over(c, "rear axle", answer.Second, rearUses),
		over(c, "ideal: f = z", answer.Reference, func(p verdict.Braking) float64 { return p.Rate() }),
	}, Levels: []answer.Level{{Label: fmt.Sprintf("adhesion %.2g", float64(r.Adhesion)), Value: float64(r.Adhesion)}}}
	if a := c.FirstLock.Deceleration; a.Exists() {
		label := string(c.FirstLock.Axle) + " locks"
		if c.FirstLock.Axle == verdict.BothAxles {
			label = "both lock"
		}
		p.Marks = []answer.Mark{{Label: label, X: float64(a.Value()), Y: float64(r.Adhesion)}}
	}
	return answer.Figure{Name: "adhesion", Title: answer.Titled("Adhesion used by each axle", r.title), Panels: []answer.Panel{p},
		Note: "Brake force over axle load, the form of UN R13-H, annex 5 (from memory). " + balanceNote}
}

func frontUses(p verdict.Braking) float64 { return float64(p.FrontAdhesion) }
func rearUses(p verdict.Braking) float64  { return float64(p.RearAdhesion) }

// valveFigure sets the cases beside each other.
func (r *BalanceResult) valveFigure() answer.Figure {
	uses := answer.Panel{X: decelerationAxis(), Y: answer.Axis{Label: "Adhesion used"}}
	lines := answer.Panel{X: decelerationAxis(), Y: answer.Axis{Label: "Rear line pressure", Dim: si.DimPressure}}
	roles := []answer.Role{answer.Main, answer.Second, answer.Third}
	for i := range r.Cases {
		c := &r.Cases[i]
		uses.Curves = append(uses.Curves, over(c, "rear, "+c.Name, roles[i], rearUses))
		lines.Curves = append(lines.Curves, over(c, c.Name, roles[i], func(p verdict.Braking) float64 { return float64(p.RearLine) }))
	}
	uses.Curves = append(uses.Curves,
		over(&r.Cases[0], "front", answer.Shadow, frontUses),
		over(&r.Cases[0], "ideal: f = z", answer.Reference, func(p verdict.Braking) float64 { return p.Rate() }))
	return answer.Figure{Name: "valve", Title: answer.Titled("What the proportioning valve does", r.title),
		Panels: []answer.Panel{uses, lines}, SharedX: true, Note: balanceNote}
}
