package si

import (
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestVacuumAndPressure(t *testing.T) {
	ambient := Pressure(StandardAtmosphere)
	assert.Equal(t, Vacuum(61325), ambient.Vacuum(40e3))
	assert.Equal(t, Pressure(40e3), Vacuum(61325).Below(ambient))
	assert.Negative(t, ambient.Vacuum(110e3))
	assert.Zero(t, ambient.Vacuum(ambient))

	rapid.Check(t, func(t *rapid.T) {
		ambient := Pressure(rapid.Float64Range(50e3, 110e3).Draw(t, "ambient"))
		p := Pressure(rapid.Float64Range(0, 110e3).Draw(t, "p"))
		assert.InDelta(t, float64(p), float64(ambient.Vacuum(p).Below(ambient)), 1e-9)
	})
}

// The compiler must refuse to take a vacuum for a pressure. The snippets are checked as
// part of this package, so that no build output is needed.
func TestVacuumIsNoPressure(t *testing.T) {
	fset := token.NewFileSet()
	names, err := filepath.Glob("*.go")
	require.NoError(t, err)
	var files []*ast.File
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(fset, name, nil, 0)
		require.NoError(t, err)
		files = append(files, file)
	}
	imports := importer.ForCompiler(fset, "source", nil)
	check := func(body string) error {
		snippet, err := parser.ParseFile(fset, "snippet.go",
			"package si\nfunc _(p, ambient Pressure, v Vacuum, f Force) {\n"+body+"\n}", 0)
		require.NoError(t, err)
		config := types.Config{Importer: imports}
		_, err = config.Check("si", fset, append(files[:len(files):len(files)], snippet), nil)
		return err
	}

	for _, right := range []string{
		"v = ambient.Vacuum(p)",
		"p = v.Below(ambient)",
		"p = p + ambient",
		"v = 20 * InchOfMercury; p = 30 * PoundPerSquareInch",
	} {
		assert.NoError(t, check(right), right)
	}
	for _, wrong := range []string{
		"p = v",
		"v = p",
		"v = ambient - p",
		"_ = p + v",
		"_ = p < v",
		"v = v.Below(ambient)",
		"v = ambient.Vacuum(v)",
		"f = p",
	} {
		err := check(wrong)
		if assert.Error(t, err, wrong) {
			assert.Regexp(t, "mismatched types|cannot use", err.Error(), wrong)
		}
	}
}
