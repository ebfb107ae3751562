package report

import (
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
)

// WriteFolder lets write fill a new folder beside path and then puts it in path's place,
// so that whoever looks finds the old one or the new one, whole. What may be replaced
// says ReplaceableFolder. On any error path is as it was and nothing is left over.
func WriteFolder(path string, ours func(file string) bool, write func(dir string) error) error {
	path = filepath.Clean(path)
	exists, err := ReplaceableFolder(path, ours)
	if err != nil {
		return err
	}
	fresh := besideFolder(path)
	if err := os.Mkdir(fresh, 0o777); err != nil {
		return err
	}
	begin(fresh)
	defer forget(fresh)
	defer os.RemoveAll(fresh) // also when write panics; of no effect once it was renamed
	if err := write(fresh); err != nil {
		return err
	}
	if !exists {
		return put(fresh, path)
	}
	old := besideFolder(path)
	if err := os.Rename(path, old); err != nil {
		return err
	}
	if err := put(fresh, path); err != nil {
		return errors.Join(err, os.Rename(old, path))
	}
	return os.RemoveAll(old)
}

func besideFolder(path string) string {
	dir, name := filepath.Split(path)
	return filepath.Join(dir, "."+name+"."+strconv.FormatUint(rand.Uint64(), 36)+".tmp")
}

// ReplaceableFolder tells whether there is a folder at path. One in which something is
// not ours may not be replaced, nor may a file or a symbolic link.
func ReplaceableFolder(path string, ours func(file string) bool) (exists bool, err error) {
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return false, nil
	case err != nil:
		return false, err
	case info.Mode()&fs.ModeSymlink != 0:
		return false, fmt.Errorf("%s is a symbolic link", path)
	case !info.IsDir():
		return false, fmt.Errorf("%s is no folder", path)
	}
	entries, err := os.ReadDir(path)
	if err != nil {
		return false, err
	}
	for _, e := range entries {
		if !e.Type().IsRegular() || !ours(filepath.Join(path, e.Name())) {
			return false, fmt.Errorf("%s has something else in it, %s", path, e.Name())
		}
	}
	return true, nil
}
