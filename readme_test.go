package kneepoint_test

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The program in the README is the one that is built and vetted.
func TestProgramOfTheReadme(t *testing.T) {
	t.Parallel()
	readme, err := os.ReadFile("README.md")
	require.NoError(t, err)
	_, rest, found := strings.Cut(string(readme), "```go\n")
	require.True(t, found)
	program, _, found := strings.Cut(rest, "```")
	require.True(t, found)
	built, err := os.ReadFile("docs/example/main.go")
	require.NoError(t, err)
	assert.Equal(t, string(built), program)
}
