package fit

import (
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Document has every value under a key with its unit; what the log does not fix has
// null errors.
func (r *Result) Document() any {
	type document = map[string]any
	unknowns := make([]document, len(r.Unknowns))
	for i := range r.Unknowns {
		v := &r.Unknowns[i]
		suffix := v.Dim.Unit(si.SI).KeySuffix
		unknowns[i] = document{
			"unknown": v.Name, "log": named(v.Log), "start" + suffix: v.Start, "estimate" + suffix: v.Estimate,
			"standard_error" + suffix: answer.Of(v.Error), "low" + suffix: answer.Of(v.Low), "high" + suffix: answer.Of(v.High),
			"at_most" + suffix: answer.Of(v.AtMost), "asked": v.Asked, "added": v.Added, "state": v.state(),
		}
	}
	correlation := make([][]answer.Optional[float64], len(r.Unknowns))
	for i := range correlation {
		for j := range r.Unknowns {
			correlation[i] = append(correlation[i], answer.Of(r.Correlation.At(i, j)))
		}
	}
	indistinguishable := make([]document, len(r.Indistinguishable))
	for i, b := range r.Indistinguishable {
		indistinguishable[i] = document{"unknowns": b.Unknowns, "shows": b.Shows, "value": answer.Of(b.Value), "standard_error": answer.Of(b.Error)}
	}
	gauges := make([]document, len(r.Gauges))
	for i, g := range r.Gauges {
		suffix := g.Dim.Unit(si.SI).KeySuffix
		gauges[i] = document{
			"gauge": g.Gauge, "log": named(g.Log), "place": g.Place, "rms" + suffix: g.RMS, "scatter" + suffix: g.Scatter, "noise" + suffix: g.Noise,
			"lag_correlation": answer.Of(g.Lag), "noise_chance": g.Chance, "patterned": g.Patterned, "errors_wider": g.Wider,
		}
	}
	outliers := make([]document, len(r.Outliers))
	for i, o := range r.Outliers {
		outliers[i] = document{"log": o.Log, "line": o.Line, "gauge": o.Gauge, "time_s": o.Time, "value" + o.Dim.Unit(si.SI).KeySuffix: o.Value}
	}
	var fault any
	if r.Fault != nil {
		fault = r.Fault.document()
	}
	added := make([]any, len(r.Added))
	for i := range r.Added {
		added[i] = r.Added[i].document()
	}
	rows, points, empty, ignored := 0, 0, []string{}, []string{}
	for _, d := range r.fit.logs {
		rows, points = rows+d.log.Rows, points+len(d.log.Points)
		empty, ignored = append(empty, d.log.Empty...), append(ignored, d.log.Ignored...)
	}
	return document{
		"unknowns": unknowns, "correlation": correlation, "indistinguishable": indistinguishable, "gauges": gauges,
		"rows": rows, "points": points, "logs": len(r.fit.logs), "columns_left_out": ignored, "columns_empty": empty,
		"usual_unknowns": r.fit.why != "", "converged": r.Converged, "steps": r.Steps, "engine": string(r.fit.logs[0].engine),
		"added": added, "fault": fault, "outliers": outliers, "doubts": append([]string{}, r.fit.doubts(si.SI)...),
	}
}

func (p *Proposal) document() map[string]any {
	found := make([]map[string]any, len(p.Found))
	for i, n := range p.Found {
		found[i] = map[string]any{"unknown": n.Name, "value" + n.Dim.Unit(si.SI).KeySuffix: n.Value}
	}
	rivals := make([]any, len(p.Rivals))
	for i := range p.Rivals {
		rivals[i] = p.Rivals[i].document()
	}
	return map[string]any{"cause": string(p.Cause), "score": p.Score, "found": found, "gauge": p.Gauge, "rivals": rivals}
}

// named is null where there is no name.
func named(name string) any {
	if name == "" {
		return nil
	}
	return name
}
