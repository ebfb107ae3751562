package web

import (
	"context"
	"strings"

	"kneepoint/sim/scenario"
)

// A Worker answers what a page asks without a server between them.
type Worker struct{ api *api }

// NewWorker makes one for a page that starts with the scenario.
func NewWorker(s *scenario.Scenario, verbs Verbs) *Worker {
	return &Worker{newAPI(s, newDrives(), verbs)}
}

// Answer does what a request asks for, and returns its status as HTTP has it, with the
// body.
func (w *Worker) Answer(ctx context.Context, method, path, body string) (status int, answer []byte) {
	a := w.api.answer(ctx, method, path, strings.NewReader(body))
	return a.status, a.body
}
