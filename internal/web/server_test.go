package web

import (
	"context"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/scenario"
)

// serving starts a server that ends with the test.
func serving(t testing.TB, s *scenario.Scenario) *Server {
	t.Helper()
	return servingThrough(t, s, func(h http.Handler) http.Handler { return h })
}

// servingThrough has every request pass something on its way.
func servingThrough(t testing.TB, s *scenario.Scenario, wrap func(http.Handler) http.Handler) *Server {
	t.Helper()
	if s == nil {
		var err error
		s, err = scenario.Builtin()
		require.NoError(t, err)
	}
	server, err := Listen(0, s, nil)
	require.NoError(t, err)
	server.handler = wrap(server.handler)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(ctx) }()
	t.Cleanup(func() {
		cancel()
		assert.NoError(t, <-ended)
	})
	return server
}

func TestServerIsOnLoopbackOnly(t *testing.T) {
	t.Parallel()
	server := serving(t, nil)
	at := server.listener.Addr().(*net.TCPAddr)
	assert.True(t, at.IP.Equal(net.IPv4(127, 0, 0, 1)))
	assert.True(t, strings.HasPrefix(server.URL(), "http://127.0.0.1:"))
	got, err := http.Get(server.URL())
	require.NoError(t, err)
	defer got.Body.Close()
	assert.Equal(t, http.StatusOK, got.StatusCode)
}

func TestTakenPortIsSaid(t *testing.T) {
	t.Parallel()
	server := serving(t, nil)
	_, err := Listen(server.listener.Addr().(*net.TCPAddr).Port, nil, nil)
	require.Error(t, err)
	assert.Contains(t, err.Error(), "cannot be used")
}

// The server ends at once, though a connection is open and idle.
func TestServerEndsWithItsContext(t *testing.T) {
	t.Parallel()
	s, err := scenario.Builtin()
	require.NoError(t, err)
	server, err := Listen(0, s, nil)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(ctx) }()
	idle, err := net.Dial("tcp", server.listener.Addr().String())
	require.NoError(t, err)
	defer idle.Close()
	got, err := http.Get(server.URL())
	require.NoError(t, err)
	got.Body.Close()
	cancel()
	select {
	case err := <-ended:
		require.NoError(t, err)
	case <-time.After(2 * shutdownTime):
		t.Fatal("it is still running")
	}
	_, err = net.Dial("tcp", server.listener.Addr().String())
	assert.Error(t, err)
}
