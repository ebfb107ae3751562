//go:build !js

package web

import (
	"fmt"
	"mime"
	"net/http"
	"slices"
	"strings"
)

// policy lets the page load its own files and nothing else.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'"

// guard lets through what the page itself asks for. A page from elsewhere that
// has its own name resolve to this address shows another Host; one that posts
// here shows another Origin.
func guard(port int, next http.Handler) http.Handler {
	hosts := []string{fmt.Sprintf("127.0.0.1:%d", port), fmt.Sprintf("localhost:%d", port)}
	if port == 80 {
		hosts = append(hosts, "127.0.0.1", "localhost")
	}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		if !slices.Contains(hosts, r.Host) {
			turnAway(w, http.StatusMisdirectedRequest, "this server is "+hosts[0])
			return
		}
		if status, why := foreign(r); why != "" {
			turnAway(w, status, why)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// foreign says why a request that reached the right host cannot come from the page.
func foreign(r *http.Request) (status int, why string) {
	changes := r.Method != http.MethodGet && r.Method != http.MethodHead
	origins := r.Header.Values("Origin")
	switch {
	case len(origins) > 1 || len(origins) == 1 && origins[0] != "http://"+r.Host:
		return http.StatusForbidden, "the request comes from another page"
	case len(origins) == 0 && changes:
		return http.StatusForbidden, "the request does not say where it comes from"
	}
	api := strings.HasPrefix(r.URL.Path, "/api/")
	if site := r.Header.Get("Sec-Fetch-Site"); api && site != "" && site != "same-origin" && site != "none" {
		return http.StatusForbidden, "the request comes from another site"
	}
	if r.Method == http.MethodPost {
		if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
			return http.StatusUnsupportedMediaType, "the body is not application/json"
		}
	}
	return 0, ""
}

func turnAway(w http.ResponseWriter, status int, why string) {
	var a responder
	refuse(&a, status, why)
	send(w, &a)
}
