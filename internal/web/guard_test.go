package web

import (
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestGuardKnowsItsOwnPage(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	for name, test := range map[string]struct {
		method, path string
		change       func(*http.Request)
		want         int
	}{
		"the page":                {"GET", "/", func(*http.Request) {}, 200},
		"by name":                 {"GET", "/", func(r *http.Request) { r.Host = "localhost:7001" }, 200},
		"another name":            {"GET", "/", func(r *http.Request) { r.Host = "rebound.example:7001" }, 421},
		"another port":            {"GET", "/", func(r *http.Request) { r.Host = "127.0.0.1:7002" }, 421},
		"no port":                 {"GET", "/", func(r *http.Request) { r.Host = "127.0.0.1" }, 421},
		"no host":                 {"GET", "/", func(r *http.Request) { r.Host = "" }, 421},
		"setup":                   {"GET", "/api/setup", func(*http.Request) {}, 200},
		"read from another page":  {"GET", "/api/setup", func(r *http.Request) { r.Header.Set("Origin", "http://elsewhere.example") }, 403},
		"read from another site":  {"GET", "/api/setup", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") }, 403},
		"read from the same site": {"GET", "/api/setup", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") }, 403},
		"read by the page":        {"GET", "/api/setup", func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-origin") }, 200},
		"a drive":                 {"POST", "/api/drives", func(*http.Request) {}, 201},
		"a drive without origin":  {"POST", "/api/drives", func(r *http.Request) { r.Header.Del("Origin") }, 403},
		"from a hidden origin":    {"POST", "/api/drives", func(r *http.Request) { r.Header.Set("Origin", "null") }, 403},
		"from the other name":     {"POST", "/api/drives", func(r *http.Request) { r.Header.Set("Origin", "http://localhost:7001") }, 403},
		"over another scheme":     {"POST", "/api/drives", func(r *http.Request) { r.Header.Set("Origin", "https://"+home) }, 403},
		"two origins":             {"POST", "/api/drives", func(r *http.Request) { r.Header.Add("Origin", "http://elsewhere.example") }, 403},
		"a form":                  {"POST", "/api/drives", func(r *http.Request) { r.Header.Set("Content-Type", "text/plain") }, 415},
		"no kind":                 {"POST", "/api/drives", func(r *http.Request) { r.Header.Del("Content-Type") }, 415},
		"another method":          {"PUT", "/api/drives", func(*http.Request) {}, 405},
		"no such file":            {"GET", "/nothing.js", func(*http.Request) {}, 404},
		"a file above":            {"GET", "/../page.go", func(*http.Request) {}, 307},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRequest(test.method, test.path, "{}")
			test.change(r)
			w := c.do(r)
			assert.Equal(t, test.want, w.Code, w.Body.String())
			assert.Equal(t, policy, w.Header().Get("Content-Security-Policy"), "on every reply")
			assert.Equal(t, "nosniff", w.Header().Get("X-Content-Type-Options"))
		})
	}
}

func TestPolicyAllowsNothingInline(t *testing.T) {
	t.Parallel()
	assert.True(t, strings.HasPrefix(policy, "default-src 'none';"))
	for _, loose := range []string{"unsafe", "*", "http:", "https:", "data:", "blob:"} {
		assert.NotContains(t, policy, loose)
	}
}
