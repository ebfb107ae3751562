package web

import (
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// A kneeReply is where help ends at one vacuum in front of the diaphragm.
type kneeReply struct {
	Vacuum si.Vacuum                    `json:"vacuum_pa"`
	Pedal  answer.Optional[si.Force]    `json:"pedal_n"`
	Line   answer.Optional[si.Pressure] `json:"line_pa"`
}

// kneeShares of the most vacuum that the car can have are enough: between and below them
// the knee goes straight (held by a test).
var kneeShares = []float64{0.375, 0.6875, 1}

// deepestKnee of the ambient pressure is as much vacuum as is looked at: an overrun's.
const deepestKnee = 0.8

// knees answers where help ends, from little vacuum to the most there can be, for a page
// that shows the knee at the present one.
func (a *api) knees(w *responder, r *asked, d *drive) {
	s := d.present()
	out := []kneeReply{}
	if s.Config.Booster.Kind == sim.BoosterNone {
		reply(w, statusOK, out)
		return
	}
	var vacua []si.Vacuum
	for _, share := range kneeShares {
		vacua = append(vacua, si.Vacuum(share*deepestKnee*float64(s.Config.Ambient.Pressure)))
	}
	var result *study.CurveResult
	err := a.study(r.ctx, func() (err error) {
		result, err = study.Curve(r.ctx, s, study.CurveOptions{Vacua: vacua})
		return err
	})
	if err != nil {
		fail(w, err)
		return
	}
	for i, f := range result.Curves {
		if f.Knee.Pedal.Exists() {
			out = append(out, kneeReply{vacua[i], f.Knee.Pedal, f.Knee.Line})
		}
	}
	reply(w, statusOK, out)
}
