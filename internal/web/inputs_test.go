package web

import (
	"bytes"
	"io"
	"net/http"
	"slices"
	"strings"
	"sync"
)

// A recorder keeps the steps that a page asked for since the car was last at rest.
type recorder struct {
	mu    sync.Mutex
	steps []stepRequest
}

func (r *recorder) wrap(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, q *http.Request) {
		verb := q.URL.Path[strings.LastIndexByte(q.URL.Path, '/')+1:]
		if verb != "step" {
			// Whatever builds a car or puts it back at rest begins a new record.
			if q.Method == http.MethodPost {
				r.mu.Lock()
				r.steps = nil
				r.mu.Unlock()
			}
			next.ServeHTTP(w, q)
			return
		}
		text, err := io.ReadAll(q.Body)
		if err != nil {
			http.Error(w, err.Error(), http.StatusBadRequest)
			return
		}
		q.Body = io.NopCloser(bytes.NewReader(text))
		next.ServeHTTP(w, q)
		if in, err := decode[stepRequest](bytes.NewReader(text)); err == nil {
			r.mu.Lock()
			r.steps = append(r.steps, in)
			r.mu.Unlock()
		}
	})
}

func (r *recorder) recorded() []stepRequest {
	r.mu.Lock()
	defer r.mu.Unlock()
	return slices.Clone(r.steps)
}
