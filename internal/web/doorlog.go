package web

import (
	"strings"

	"kneepoint/sim/fit"
	"kneepoint/sim/gaugelog"
)

// mostLogBody bounds a gauge's log on its way here: 8 MiB, in which a line's end and a tab
// take two bytes.
const mostLogBody = 16 << 20

// A fitRequest asks what a log says of a car.
type fitRequest struct {
	Name string `json:"name,omitempty"`
	Text string `json:"text"`
	// LogName is what messages call the log, Log its text.
	LogName string `json:"log_name"`
	Log     string `json:"log"`
}

func (r fitRequest) check() error { return openRequest{Name: r.LogName, Text: r.Text}.check() }

func (a *api) fit(w *responder, r *asked) {
	in, ok := read[fitRequest](w, r, mostLogBody)
	if !ok {
		return
	}
	var out shownReply
	err := a.study(r.ctx, func() error {
		s, err := described(in.Name, in.Text)
		if err != nil {
			return err
		}
		log, err := gaugelog.Read(r.ctx, strings.NewReader(in.Log), in.LogName)
		if err != nil {
			return err
		}
		ready, err := fit.New(s, log)
		if err != nil {
			return err
		}
		result, err := ready.Solve(r.ctx, nil)
		if err != nil {
			return err
		}
		out, err = newShownReply(result)
		return err
	})
	if err != nil {
		fail(w, err)
		return
	}
	reply(w, statusOK, out)
}
