package pattern

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is compiled when it is first needed is compiled here before: every expression of the
// program's is one.
func TestEveryPatternCompiles(t *testing.T) {
	root := filepath.Join("..", "..")
	found := 0
	require.NoError(t, filepath.WalkDir(root, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			name, ok := call.Fun.(*ast.SelectorExpr)
			if !ok || name.Sel.Name != "Lazy" {
				return true
			}
			literal, ok := call.Args[0].(*ast.BasicLit)
			if !assert.True(t, ok, "%s: an expression that is no literal", path) {
				return true
			}
			expression, err := strconv.Unquote(literal.Value)
			require.NoError(t, err)
			_, err = regexp.Compile(expression)
			assert.NoError(t, err, path)
			found++
			return true
		})
		return nil
	}))
	assert.Greater(t, found, 50)
}

func TestLazy(t *testing.T) {
	broken := Lazy(`(`) // nothing happens before it is asked for
	assert.Panics(t, func() { broken() })
	whole := Lazy(`^a+$`)
	assert.True(t, whole().MatchString("aaa"))
	assert.Same(t, whole(), whole())
}
