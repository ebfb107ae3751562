package web

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strings"

	"kneepoint/sim/scenario"
)

// A refusal is why a request was not done.
type refusal struct {
	Error string `json:"error"`
	// Problems are those of a scenario, one line each, as the command line has them.
	Problems []string `json:"problems,omitempty"`
}

func reply(w http.ResponseWriter, status int, v any) {
	text, err := json.Marshal(v)
	if err != nil {
		status, text = http.StatusInternalServerError, []byte(`{"error":"the reply could not be written"}`)
	}
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	w.WriteHeader(status)
	w.Write(text)
}

func refuse(w http.ResponseWriter, status int, why string) { reply(w, status, refusal{Error: why}) }

// fail answers an error: what is wrong in a scenario is the page's to show.
func fail(w http.ResponseWriter, err error) {
	var input *scenario.InputError
	var change *changeError
	switch {
	case errors.As(err, &input):
		out := refusal{Error: "the scenario is wrong"}
		for _, p := range input.Problems {
			// A value from a control has no line, and is no flag either.
			out.Problems = append(out.Problems, strings.TrimPrefix(p.String(), "--set "))
		}
		reply(w, http.StatusUnprocessableEntity, out)
	case errors.As(err, &change):
		refuse(w, http.StatusBadRequest, err.Error())
	case errors.Is(err, errFull), errors.Is(err, context.Canceled):
		refuse(w, http.StatusServiceUnavailable, err.Error())
	default:
		refuse(w, http.StatusInternalServerError, err.Error())
	}
}
