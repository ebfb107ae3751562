package web

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
)

const testPort = 7001

const home = "127.0.0.1:7001"

// A client asks as the page would.
type client struct {
	t       testing.TB
	handler http.Handler
	drives  *drives
}

func newClient(t testing.TB, s *scenario.Scenario) *client {
	t.Helper()
	if s == nil {
		var err error
		s, err = scenario.Builtin()
		require.NoError(t, err)
	}
	d := newDrives()
	return &client{t: t, handler: guard(testPort, newHandler(newAPI(s, d, nil))), drives: d}
}

func (c *client) do(r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	c.handler.ServeHTTP(w, r)
	return w
}

func newRequest(method, path, body string) *http.Request {
	r := httptest.NewRequest(method, "http://"+home+path, strings.NewReader(body))
	if method != http.MethodGet {
		r.Header.Set("Origin", "http://"+home)
		r.Header.Set("Content-Type", "application/json")
	}
	return r
}

// get and post want the status and decode the reply.
func (c *client) get(path string, status int, out any) {
	c.t.Helper()
	c.want(c.do(newRequest(http.MethodGet, path, "")), status, out)
}

func (c *client) post(path, body string, status int, out any) {
	c.t.Helper()
	c.want(c.do(newRequest(http.MethodPost, path, body)), status, out)
}

func (c *client) want(w *httptest.ResponseRecorder, status int, out any) {
	c.t.Helper()
	require.Equal(c.t, status, w.Code, w.Body.String())
	if out != nil {
		require.NoError(c.t, json.Unmarshal(w.Body.Bytes(), out), w.Body.String())
	}
}

// create opens a drive and returns its path.
func (c *client) create(body string) (path string, car carSeen) {
	c.t.Helper()
	var made struct {
		ID  string
		Car carSeen
	}
	c.post("/api/drives", body, http.StatusCreated, &made)
	return "/api/drives/" + made.ID, made.Car
}

// carSeen and frameSeen are replies as the page reads them.
type carSeen struct {
	Title, Name, Document, Kind, Faults string
	Warnings                            []string
	Shape                               map[string]any
	Controls                            []controlReply
	Fault                               *faultReply
	Frame                               frameSeen
}

func (c carSeen) control(id string) float64 {
	for _, k := range c.Controls {
		if k.ID == id {
			return k.Value
		}
	}
	return -1
}

type frameSeen map[string]any

func (f frameSeen) number(key string) float64 {
	v, _ := f[key].(float64)
	return v
}
