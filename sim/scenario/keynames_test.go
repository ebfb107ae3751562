package scenario

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// maySpell are the files that may spell the path of a key, and why.
var maySpell = map[string]string{
	"sim/scenario/keynames.go": "where they are spelled",
	"docs/example/main.go":     "the program of a user, who sets keys as a scenario file or a flag does",
}

// spelledKeys returns where a file spells the path of a key, alone or before its value
// as a flag has it.
func spelledKeys(t *testing.T, name string, source any) []string {
	files := token.NewFileSet()
	f, err := parser.ParseFile(files, name, source, 0)
	require.NoError(t, err)
	var found []string
	ast.Inspect(f, func(n ast.Node) bool {
		lit, ok := n.(*ast.BasicLit)
		if !ok || lit.Kind != token.STRING {
			return true
		}
		text, err := strconv.Unquote(lit.Value)
		require.NoError(t, err)
		path, _, _ := strings.Cut(text, "=")
		if _, known := keyIndex[path]; known && strings.Contains(path, ".") {
			found = append(found, fmt.Sprintf("%s: %q", files.Position(lit.Pos()), text))
		}
		return true
	})
	return found
}

// A key that is renamed in the table is renamed everywhere: no code spells its path.
func TestKeysAreSpelledOnce(t *testing.T) {
	root := filepath.Join("..", "..")
	looked := 0
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "testdata" || d.Name() == ".git" || d.Name() == "dist") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return nil
		}
		name, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		looked++
		if found := spelledKeys(t, path, nil); maySpell[filepath.ToSlash(name)] == "" {
			assert.Empty(t, found)
		} else {
			assert.NotEmpty(t, found, "%s spells none, and needs no leave", name)
		}
		return nil
	}))
	assert.Greater(t, looked, 300)
	assert.Len(t, spelledKeys(t, "planted.go", `package p; var a, b, c = "booster.diameter", "--set booster.diameter", "booster.diameter=9 in"`), 2)
}

// Every name is that of a key, and says its path.
func TestKeyNamesAreKeys(t *testing.T) {
	f, err := parser.ParseFile(token.NewFileSet(), "keynames.go", nil, 0)
	require.NoError(t, err)
	named := 0
	ast.Inspect(f, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok {
			return true
		}
		path, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
		require.NoError(t, err)
		assert.Contains(t, keyIndex, path)
		assert.Equal(t, strings.ToLower("Key"+strings.NewReplacer(".", "", "_", "").Replace(path)), strings.ToLower(spec.Names[0].Name))
		named++
		return true
	})
	assert.Positive(t, named)
}
