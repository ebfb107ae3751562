package report

import (
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestProgramSaysWhatItKnows(t *testing.T) {
	p := ThisProgram()
	assert.NotEmpty(t, p.Version)
	assert.Equal(t, runtime.Version(), p.Go)

	p = Program{Version: "v1.2.3", Commit: "0123456789abcdef0123", Go: "go1.26", System: "linux/amd64"}
	assert.Equal(t, "kneepoint 1.2.3, commit 0123456789ab, go1.26 on linux/amd64", p.String())
	p.Changed = true
	assert.Contains(t, p.String(), "0123456789ab with changes,")
	p = Program{Version: "devel", Go: "go1.26", System: "linux/amd64"}
	assert.Equal(t, "kneepoint devel, commit unknown, go1.26 on linux/amd64", p.String())
}
