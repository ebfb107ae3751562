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

// What choose says first is one screen, with what is there today in it; all of it is for
// who asks.
func TestChooseIsOneScreen(t *testing.T) {
	t.Parallel()
	small := []string{"--set", `choose.boosters=["9 in", "8 in + 8 in", "none"]`, "--set", `choose.bores=["1 in"]`}
	file := filepath.Join("..", "..", "scenarios", "big-cam-nine.toml")
	var first, all, err bytes.Buffer
	require.Equal(t, done, Main(context.Background(), append([]string{"choose", file}, small...), strings.NewReader(""), &first, &err), err.String())
	require.Equal(t, done, Main(context.Background(), append([]string{"choose", file, "--all"}, small...), strings.NewReader(""), &all, &err), err.String())
	lines := strings.Split(strings.TrimRight(first.String(), "\n"), "\n")
	assert.LessOrEqual(t, len(lines), 24)
	for _, l := range lines {
		assert.LessOrEqual(t, utf8.RuneCountInString(l), 80, l)
	}
	for _, kind := range []string{"today", "pump", "tandem", "manual"} {
		assert.Contains(t, first.String(), "\n"+kind+" ")
	}
	assert.Equal(t, lines[0], strings.SplitN(all.String(), "\n", 2)[0], "the advice is the same")
	assert.Contains(t, all.String(), "\noptions\n")
	assert.NotContains(t, first.String(), "\noptions\n")
}
