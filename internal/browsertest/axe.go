package browsertest

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// An Axe is the script of axe-core, which holds a page against its rules of
// accessibility.
type Axe string

// ReadAxe reads the file that KNEEPOINT_AXE names; without one ok is false.
func ReadAxe(t testing.TB) (axe Axe, ok bool) {
	t.Helper()
	path := os.Getenv("KNEEPOINT_AXE")
	if path == "" {
		return "", false
	}
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	return Axe(text), true
}

// Check wants a page that breaks no rule, and keeps more of them than a number, which
// shows that they were looked at.
func (axe Axe) Check(t testing.TB, b *Tab, more int) {
	t.Helper()
	Eval[bool](b, string(axe)+"\n;true")
	assert.Empty(t, Eval[[]string](b, `axe.run().then((r) => r.violations.map((v) => v.id + ": " + v.nodes.map((n) => n.target + " " + n.failureSummary).join(" | ")))`))
	assert.Greater(t, Eval[int](b, `axe.run().then((r) => r.passes.length)`), more, "rules were looked at")
}
