package ode

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A kernel is taken for its own pattern and for no other.
func TestKernelFitsItsPattern(t *testing.T) {
	entries := [][2]int{{0, 0}, {1, 0}, {0, 1}}
	k := Kernel{Size: 2, Entries: [][2]uint8{{0, 0}, {1, 0}, {0, 1}}}
	assert.True(t, k.fits(mustPattern(2, entries)))
	assert.False(t, k.fits(mustPattern(3, entries)), "another size")
	assert.False(t, k.fits(mustPattern(2, entries[:2])), "an entry less")
	assert.False(t, k.fits(mustPattern(2, [][2]int{{0, 0}, {0, 1}, {1, 0}})), "another order")
}

// A source names every place of the factors, and all of the pattern's entries.
func TestKernelSourceIsComplete(t *testing.T) {
	p, _, _ := plantMatrix()
	var b strings.Builder
	require.NoError(t, WriteKernel(&b, "k", p))
	for e := range p.Len() {
		assert.Contains(t, b.String(), fmt.Sprintf("j[%d]", e))
	}
	for e := range planElimination(p).entries() {
		assert.Contains(t, b.String(), fmt.Sprintf("v[%d]", e))
	}
}
