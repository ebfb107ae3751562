package web

import (
	"io/fs"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// elsewhere is an address outside, other than the names of XML.
var elsewhere = regexp.MustCompile(`(?i)(https?:)?//[a-z0-9-]+\.[a-z]`)

var inline = regexp.MustCompile(`(?i)<script>|<style|\son[a-z]+=|\sstyle=|javascript:`)

// The page needs nothing from elsewhere, and nothing that the policy forbids.
func TestPageIsOnItsOwn(t *testing.T) {
	t.Parallel()
	c := newClient(t, nil)
	seen := 0
	require.NoError(t, fs.WalkDir(embedded, "page", func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		seen++
		data, err := fs.ReadFile(embedded, path)
		require.NoError(t, err)
		text := strings.ReplaceAll(string(data), "http://www.w3.org/2000/svg", "")
		assert.NotRegexp(t, elsewhere, text, path)
		if strings.HasSuffix(path, ".html") {
			assert.NotRegexp(t, inline, text, path)
		}
		w := c.do(newRequest(http.MethodGet, strings.TrimSuffix(strings.TrimPrefix(path, "page"), "index.html"), ""))
		assert.Equal(t, http.StatusOK, w.Code, path)
		assert.Equal(t, string(data), w.Body.String(), path)
		switch {
		case strings.HasSuffix(path, ".js"):
			assert.Contains(t, w.Header().Get("Content-Type"), "javascript", path)
		case strings.HasSuffix(path, ".css"):
			assert.Contains(t, w.Header().Get("Content-Type"), "text/css", path)
		}
		return nil
	}))
	assert.Greater(t, seen, 10)
}
