package report

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func isOurs(file string) bool { return strings.HasSuffix(file, ".ours") }

func fill(names ...string) func(string) error {
	return func(dir string) error {
		for _, name := range names {
			if err := os.WriteFile(filepath.Join(dir, name), []byte(name), 0o666); err != nil {
				return err
			}
		}
		return nil
	}
}

func TestFolderIsReplacedWhole(t *testing.T) {
	t.Parallel()
	above := t.TempDir()
	path := filepath.Join(above, "pictures")
	require.NoError(t, WriteFolder(path+"/", isOurs, fill("1.ours", "2.ours")))
	assert.Equal(t, []string{"1.ours", "2.ours"}, names(t, path))
	require.NoError(t, WriteFolder(path, isOurs, fill("3.ours")))
	assert.Equal(t, []string{"3.ours"}, names(t, path))
	assert.Equal(t, []string{"pictures"}, names(t, above), "nothing beside it")
}

func TestFolderStaysOnAnError(t *testing.T) {
	t.Parallel()
	above := t.TempDir()
	path := filepath.Join(above, "pictures")
	require.NoError(t, WriteFolder(path, isOurs, fill("1.ours")))
	broken := errors.New("broken")
	err := WriteFolder(path, isOurs, func(dir string) error {
		return errors.Join(fill("2.ours")(dir), broken)
	})
	require.ErrorIs(t, err, broken)
	assert.Panics(t, func() { _ = WriteFolder(path, isOurs, func(string) error { panic("gone") }) })
	assert.Equal(t, []string{"1.ours"}, names(t, path))
	assert.Equal(t, []string{"pictures"}, names(t, above), "nothing beside it")
}

func TestFolderOfSomeoneElseIsRefused(t *testing.T) {
	t.Parallel()
	above := t.TempDir()
	never := func(string) error { panic("nothing may be written") }

	theirs := filepath.Join(above, "theirs")
	require.NoError(t, os.Mkdir(theirs, 0o777))
	require.NoError(t, fill("1.ours", "letter")(theirs))
	assert.ErrorContains(t, WriteFolder(theirs, isOurs, never), "letter")

	nested := filepath.Join(above, "nested")
	require.NoError(t, os.MkdirAll(filepath.Join(nested, "in.ours"), 0o777))
	assert.ErrorContains(t, WriteFolder(nested, isOurs, never), "in.ours")

	file := filepath.Join(above, "file")
	require.NoError(t, os.WriteFile(file, nil, 0o666))
	assert.ErrorContains(t, WriteFolder(file, isOurs, never), "no folder")

	if link := filepath.Join(above, "link"); os.Symlink(nested, link) == nil {
		assert.ErrorContains(t, WriteFolder(link, isOurs, never), "symbolic link")
	}
	assert.Error(t, WriteFolder(filepath.Join(above, "nowhere", "pictures"), isOurs, never))
}
