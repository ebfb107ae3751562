package report

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func says(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	var all []string
	for _, e := range entries {
		all = append(all, e.Name())
	}
	return all
}

func TestWriteFileNewAndAgain(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "out.csv")
	require.NoError(t, WriteFile(path, says("first")))
	plain := filepath.Join(t.TempDir(), "plain")
	require.NoError(t, os.WriteFile(plain, nil, 0o666))
	want, err := os.Stat(plain)
	require.NoError(t, err)
	info, err := os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, want.Mode(), info.Mode(), "as any new file")

	require.NoError(t, os.Chmod(path, 0o640))
	require.NoError(t, WriteFile(path, says("second")))
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "second", string(got))
	info, err = os.Stat(path)
	require.NoError(t, err)
	assert.Equal(t, fs.FileMode(0o640), info.Mode().Perm(), "permissions are kept")
	assert.Equal(t, []string{"out.csv"}, names(t, dir))
}

func TestFailingWriterLeavesTheOldFile(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "out.csv")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o600))
	broken := errors.New("broken half way")
	half := func(w io.Writer) error {
		if _, err := io.WriteString(w, "half"); err != nil {
			return err
		}
		return broken
	}
	assert.ErrorIs(t, WriteFile(path, half), broken)
	assert.Panics(t, func() {
		_ = WriteFile(path, func(io.Writer) error { panic("in the writer") })
	})
	got, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "old", string(got))
	assert.Equal(t, []string{"out.csv"}, names(t, dir), "no leftover")

	assert.ErrorIs(t, WriteFile(filepath.Join(dir, "new.csv"), half), broken)
	assert.Equal(t, []string{"out.csv"}, names(t, dir), "no new file either")
}

// Until the writer is done the old file is what a reader sees.
func TestOldFileStaysUntilTheNewIsWhole(t *testing.T) {
	path := filepath.Join(t.TempDir(), "out.csv")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o600))
	require.NoError(t, WriteFile(path, func(w io.Writer) error {
		if _, err := io.WriteString(w, "new"); err != nil {
			return err
		}
		seen, err := os.ReadFile(path)
		assert.Equal(t, "old", string(seen))
		return err
	}))
}

func TestWriteFileRefuses(t *testing.T) {
	dir := t.TempDir()
	target, link := filepath.Join(dir, "target"), filepath.Join(dir, "link")
	require.NoError(t, os.WriteFile(target, []byte("old"), 0o600))
	if err := os.Symlink(target, link); err != nil {
		t.Skip("no symbolic links here:", err)
	}
	never := func(io.Writer) error {
		t.Error("the writer ran")
		return nil
	}
	missing := filepath.Join(dir, "missing")
	below := filepath.Join(target, "x")
	for path, want := range map[string]string{
		link:                          link + " is a symbolic link; name the file it points to",
		dir:                           dir + " is a directory; name a file",
		filepath.Join(missing, "out"): filepath.Join(missing, "out") + ": there is no directory " + missing,
		os.DevNull:                    os.DevNull + " is not a regular file",
		"":                            "no file name",
	} {
		assert.EqualError(t, WriteFile(path, never), want)
	}
	assert.Error(t, WriteFile(below, never))
	got, err := os.ReadFile(target)
	require.NoError(t, err)
	assert.Equal(t, "old", string(got))
	assert.Equal(t, []string{"link", "target"}, names(t, dir))
}
