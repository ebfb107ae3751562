package report

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
)

// WriteFile lets write fill a new file beside path and then puts it in path's place, so
// that whoever looks finds the old file or the new one, whole. An existing file's
// permissions are kept. On any error path is as it was and nothing is left over. Of
// several that write one path at once the last to be done stands there, whole.
//
// It refuses a read-only file, a path that is a symbolic link, a directory or a device, and one whose
// directory does not exist.
func WriteFile(path string, write func(io.Writer) error) (err error) {
	mode, exists, err := replaceable(path)
	if err != nil {
		return err
	}
	f, err := beside(path)
	if err != nil {
		return err
	}
	begin(f.Name())
	defer forget(f.Name())
	done := false
	defer func() {
		// Also when write panics.
		if !done {
			_ = f.Close()
			_ = os.Remove(f.Name())
			err = about(path, f.Name(), err)
		}
	}()
	if err := write(f); err != nil {
		return err
	}
	if exists {
		if err := f.Chmod(mode); err != nil {
			return err
		}
	}
	if err := f.Sync(); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	if err := put(f.Name(), path); err != nil {
		return err
	}
	done = true
	syncDirectory(filepath.Dir(path))
	return nil
}

// about lets an error of the file beside speak of the path that was asked for.
func about(path, beside string, err error) error {
	var failed *fs.PathError
	if errors.As(err, &failed) && failed.Path == beside {
		return fmt.Errorf("%s: %w", path, failed.Err)
	}
	return err
}

// replaceable tells the permissions of what is at path, and whether there is anything.
func replaceable(path string) (mode fs.FileMode, exists bool, err error) {
	if path == "" {
		return 0, false, errors.New("no file name")
	}
	info, err := os.Lstat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		dir := filepath.Dir(path)
		if d, err := os.Stat(dir); err != nil {
			return 0, false, fmt.Errorf("%s: there is no directory %s", path, dir)
		} else if !d.IsDir() {
			return 0, false, fmt.Errorf("%s: %s is not a directory", path, dir)
		}
		return 0, false, nil
	case err != nil:
		return 0, false, err
	case info.Mode()&fs.ModeSymlink != 0:
		return 0, false, fmt.Errorf("%s is a symbolic link; name the file it points to", path)
	case info.IsDir():
		return 0, false, fmt.Errorf("%s is a directory; name a file", path)
	case !info.Mode().IsRegular():
		return 0, false, fmt.Errorf("%s is not a regular file", path)
	}
	if !writable(path) {
		return 0, false, fmt.Errorf("%s is read-only", path)
	}
	return info.Mode().Perm(), true, nil
}

// writable tells whether the file may be written to. Its folder alone would let it be
// replaced, but who made it read-only meant it to stay; the superuser too.
func writable(path string) bool {
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm()&0o222 == 0 {
		return false
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return false
	}
	_ = f.Close()
	return true
}

// beside creates a file in path's directory with the permissions of a new file.
func beside(path string) (*os.File, error) {
	dir, name := filepath.Split(path)
	for try := 0; ; try++ {
		beside := filepath.Join(dir, "."+name+"."+strconv.FormatUint(rand.Uint64(), 36)+".tmp")
		f, err := os.OpenFile(beside, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if errors.Is(err, fs.ErrExist) && try < 100 {
			continue
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, errors.Unwrap(err))
		}
		return f, nil
	}
}

// syncDirectory makes the renaming last through a loss of power, on systems that can;
// the file is in its place in any case.
func syncDirectory(dir string) {
	d, err := os.Open(dir)
	if err != nil {
		return
	}
	_ = d.Sync()
	_ = d.Close()
}
