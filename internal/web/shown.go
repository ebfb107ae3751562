package web

import (
	"kneepoint/internal/report"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// shownReply is an answer in words and tables, by the name of the units.
type shownReply map[string]report.Shown

func newShownReply(ans answer.Answer) (shownReply, error) {
	out := shownReply{}
	for _, u := range []si.System{si.US, si.SI} {
		shown, err := report.Show(ans, u)
		if err != nil {
			return nil, err
		}
		out[u.String()] = shown
	}
	return out, nil
}
