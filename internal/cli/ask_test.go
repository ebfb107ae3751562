package cli

import (
	"bytes"
	"context"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A page of answers is one page: no longer and no wider than a sheet shows.
func TestAskIsOnePage(t *testing.T) {
	t.Parallel()
	for _, name := range []string{"half-known.txt", "nothing-known.txt", "no-booster.txt"} {
		var out, err bytes.Buffer
		file := filepath.Join("..", "..", "testdata", "answers", name)
		require.Equal(t, done, Main(context.Background(), []string{"ask", "--answers", file}, strings.NewReader(""), &out, &err), err.String())
		lines := strings.Split(strings.TrimRight(out.String(), "\n"), "\n")
		assert.LessOrEqual(t, len(lines), 40, name)
		for _, l := range lines {
			assert.LessOrEqual(t, utf8.RuneCountInString(l), 80, l)
		}
	}
}
