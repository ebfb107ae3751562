//go:build !js

package web

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"strconv"
	"time"

	"kneepoint/sim/scenario"
)

// Limits of the server. A study may take a while to be answered; everything else
// is read and written at once.
const (
	readHeaderTime = 5 * time.Second
	readTime       = 15 * time.Second
	writeTime      = 60 * time.Second
	idleTime       = 2 * time.Minute
	mostHeader     = 16 << 10
	shutdownTime   = 500 * time.Millisecond
)

// A Server answers on one port of the loopback address.
type Server struct {
	listener net.Listener
	handler  http.Handler
	drives   *drives
}

// Listen takes a port of 127.0.0.1, any free one for 0, for a page that starts
// with the scenario.
func Listen(port int, s *scenario.Scenario, verbs Verbs) (*Server, error) {
	listener, err := net.Listen("tcp4", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if err != nil {
		return nil, fmt.Errorf("port %d cannot be used: %w", port, err)
	}
	taken := listener.Addr().(*net.TCPAddr).Port
	drives := newDrives()
	return &Server{
		listener: listener,
		handler:  guard(taken, newHandler(newAPI(s, drives, verbs))),
		drives:   drives,
	}, nil
}

// URL returns the address of the page.
func (s *Server) URL() string { return fmt.Sprintf("http://%s/", s.listener.Addr()) }

// Serve answers until the context ends, then lets what is under way finish for a
// moment.
func (s *Server) Serve(ctx context.Context) error {
	server := &http.Server{
		Handler:           s.handler,
		ReadHeaderTimeout: readHeaderTime,
		ReadTimeout:       readTime,
		WriteTimeout:      writeTime,
		IdleTimeout:       idleTime,
		MaxHeaderBytes:    mostHeader,
		// Every request ends with the server's own context: no study outlives it.
		BaseContext: func(net.Listener) context.Context { return ctx },
	}
	go s.drives.sweepUntil(ctx)
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(s.listener) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.WithoutCancel(ctx), shutdownTime)
	defer cancel()
	if err := server.Shutdown(last); err != nil {
		server.Close()
	}
	if err := <-failed; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// newHandler serves the page's files and answers what it asks, over HTTP.
func newHandler(a *api) http.Handler {
	// A mux of their own, since beside a path of any method one mux takes no "GET /".
	files := http.NewServeMux()
	files.Handle("GET /", page())
	mux := http.NewServeMux()
	mux.Handle("/", files)
	mux.HandleFunc("/api/", func(w http.ResponseWriter, r *http.Request) {
		send(w, a.answer(r.Context(), r.Method, r.URL.Path, r.Body))
	})
	return mux
}

func send(w http.ResponseWriter, a *responder) {
	h := w.Header()
	h.Set("Content-Type", a.kind)
	if a.file != "" {
		h.Set("Content-Disposition", fmt.Sprintf(`attachment; filename="%s"`, a.file))
	}
	w.WriteHeader(a.status)
	_, _ = w.Write(a.body) // or the page is gone
}
