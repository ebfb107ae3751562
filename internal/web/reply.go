package web

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"strings"

	"kneepoint/sim/scenario"
)

// A refusal is why a request was not done.
type refusal struct {
	Error string `json:"error"`
	// Problems are those of a scenario, one line each, as the command line has them.
	Problems []string `json:"problems,omitempty"`
}

// The statuses that a request can have, as HTTP has them.
const (
	statusOK                    = 200
	statusCreated               = 201
	statusBadRequest            = 400
	statusNotFound              = 404
	statusMethodNotAllowed      = 405
	statusRequestEntityTooLarge = 413
	statusUnprocessableEntity   = 422
	statusInternalServerError   = 500
	statusServiceUnavailable    = 503
)

// An asked is a request about a drive; whatever carried it here is not known.
type asked struct {
	ctx  context.Context
	id   string
	body io.Reader
}

// A responder holds the answer to a request: JSON, or a file of its own kind.
type responder struct {
	status     int
	kind, file string
	body       []byte
}

func reply(w *responder, status int, v any) {
	text, err := json.Marshal(v)
	if err != nil {
		status, text = statusInternalServerError, []byte(`{"error":"the reply could not be written"}`)
	}
	*w = responder{status: status, kind: "application/json; charset=utf-8", body: text}
}

func refuse(w *responder, status int, why string) { reply(w, status, refusal{Error: why}) }

// fail answers an error: what is wrong in a scenario is the page's to show.
func fail(w *responder, err error) {
	var input *scenario.InputError
	var change *changeError
	switch {
	case errors.As(err, &input):
		out := refusal{Error: "the scenario is wrong"}
		for _, p := range input.Problems {
			// A value from a control has no line, and is no flag either.
			out.Problems = append(out.Problems, strings.TrimPrefix(p.String(), "--set "))
		}
		reply(w, statusUnprocessableEntity, out)
	case errors.As(err, &change):
		refuse(w, statusBadRequest, err.Error())
	case errors.Is(err, errFull), errors.Is(err, context.Canceled):
		refuse(w, statusServiceUnavailable, err.Error())
	default:
		refuse(w, statusInternalServerError, err.Error())
	}
}
