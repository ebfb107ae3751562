package chart

import (
	"math"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Figures as studies make them, with invented numbers.

func forceFigure() answer.Figure {
	var x, y, back, manual []float64
	for f := 0.0; f <= 520; f += 4 {
		x = append(x, f)
		p := 0.0
		switch {
		case f < 45:
		case f < 230:
			p = 0.9e6 + (f-45)*3.1e4
		default:
			p = 0.9e6 + 185*3.1e4 + (f-230)*0.55e4
		}
		y = append(y, p)
		b := 0.0
		if f > 20 {
			b = math.Min(p+0.5e6, 0.9e6+185*3.1e4+math.Max(f-205, 0)*0.55e4)
		}
		back = append(back, b)
		manual = append(manual, f*0.9e4)
	}
	return answer.Figure{
		Name:  "curve",
		Title: "Line pressure over pedal force, booster at 20 inHg, beside the manual pedal it would have to beat",
		Note:  "Simulated at sea level. Invented garage coupe; what was not given is listed with the text.",
		Panels: []answer.Panel{{
			X: answer.Axis{Label: "Pedal force", Dim: si.DimForce},
			Y: answer.Axis{Label: "Line pressure", Dim: si.DimPressure},
			Curves: []answer.Curve{
				{Label: "pressing", X: x, Y: y, Role: answer.Main},
				{Label: "releasing", X: x, Y: back, Role: answer.Shadow},
				{Label: "manual, ratio 6, 7/8 in", X: x, Y: manual, Role: answer.Second},
			},
			Marks: []answer.Mark{
				{Label: "knee: 52 lbf, 960 psi", X: 230, Y: 0.9e6 + 185*3.1e4},
				{Label: "jump-in", X: 45, Y: 0.9e6},
			},
			Levels: []answer.Level{
				{Label: "pressure for 0.6 g", Value: 5.5e6},
				{Label: "force limit", Value: 500, Vertical: true},
			},
		}},
	}
}

func timeFigure() answer.Figure {
	var t, v, r, p, f []float64
	vac := 60e3
	for s := 0.0; s <= 60; s += 0.02 {
		t = append(t, s)
		ph := math.Mod(s, 8)
		on := 0.0
		if ph > 2 && ph < 4.5 {
			on = 1
		}
		if on > 0 && ph < 2.03 {
			vac -= 6e3
		}
		if s < 30 {
			vac += (62e3 - vac) * 0.004
		}
		v = append(v, vac-on*2e3)
		r = append(r, math.Max(vac-3e3*math.Exp(-s/10), vac-1e3))
		p = append(p, on*4.2e6)
		f = append(f, on*150)
	}
	x := answer.Axis{Label: "Time", Dim: si.DimTime}
	spans := []answer.Span{{Label: "engine off", From: 30, To: 60}}
	return answer.Figure{
		Name: "run", Title: "Seven stops, the engine off for the last four", SharedX: true,
		Panels: []answer.Panel{
			{X: x, Y: answer.Axis{Label: "Vacuum", Dim: si.DimVacuum}, Spans: spans,
				Curves: []answer.Curve{
					{Label: "front chamber", X: t, Y: v, Role: answer.Main},
					{Label: "reservoir", X: t, Y: r, Role: answer.Second},
				}},
			{X: x, Y: answer.Axis{Label: "Line pressure", Dim: si.DimPressure}, Spans: spans,
				Curves: []answer.Curve{{Label: "front circuit", X: t, Y: p, Role: answer.Main}}},
			{X: x, Y: answer.Axis{Label: "Pedal force", Dim: si.DimForce}, Spans: spans,
				Curves: []answer.Curve{{Label: "", X: t, Y: f, Role: answer.Third}},
				Levels: []answer.Level{{Label: "force limit", Value: 500}}},
		},
	}
}

func barFigure() answer.Figure {
	return answer.Figure{
		Name: "faults", Title: "What explains the readings, most probable first",
		Note: "Bands: from the errors of the gauges.",
		Panels: []answer.Panel{{
			X: answer.Axis{Label: "Probability", Dim: si.DimRatio},
			Bars: []answer.Bar{
				{Label: "front shell leaks", Value: 0.62, Low: 0.5, High: 0.71},
				{Label: "check valve does not close when the engine stops", Value: 0.21, Low: 0.1, High: 0.3},
				{Label: "hose kinked", Value: 0.08},
				{Label: "diaphragm torn", Value: 0.05, Role: answer.Shadow},
				{Label: "none of these", Value: 0.04, Role: answer.Reference},
			},
		}},
	}
}

func fieldFigure() answer.Figure {
	var xs, ys []float64
	var z [][]float64
	for i := range 31 {
		xs = append(xs, 0.15+0.005*float64(i))
	}
	for j := range 25 {
		ys = append(ys, 20e3+2.5e3*float64(j))
	}
	for _, x := range xs {
		var column []float64
		for _, y := range ys {
			v := math.Pi / 4 * x * x * y * 1.9e3 * (1 + 0.12*math.Sin(30*x))
			if y < 30e3 && x < 0.18 {
				v = math.NaN()
			}
			column = append(column, v)
		}
		z = append(z, column)
	}
	return answer.Figure{
		Name: "map", Title: "Knee pressure over booster diameter and vacuum",
		Panels: []answer.Panel{{
			X:     answer.Axis{Label: "Booster diameter", Dim: si.DimLength},
			Y:     answer.Axis{Label: "Vacuum", Dim: si.DimVacuum},
			Field: &answer.Field{Label: "Line pressure at the knee", Dim: si.DimPressure, X: xs, Y: ys, Z: z},
			Marks: []answer.Mark{{Label: "this car", X: 0.2286, Y: 50e3}},
		}},
	}
}
