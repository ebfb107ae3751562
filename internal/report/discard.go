package report

import (
	"os"
	"sync"
)

// begun are the files and folders that are being written beside the place they are for.
var begun struct {
	sync.Mutex
	paths map[string]bool
	ended bool
}

// begin notes a file or folder that is not whole yet, and forget that it is, or is gone.
func begin(path string) {
	begun.Lock()
	defer begun.Unlock()
	if begun.paths == nil {
		begun.paths = map[string]bool{}
	}
	begun.paths[path] = true
}

func forget(path string) {
	begun.Lock()
	defer begun.Unlock()
	delete(begun.paths, path)
}

// put renames a whole file or folder into its place.
func put(from, to string) error {
	begun.Lock()
	defer begun.Unlock()
	if begun.ended {
		return os.ErrClosed
	}
	return os.Rename(from, to)
}

// Discard removes every file and folder that is not whole, and lets no further one come
// into its place. It is for the end of a process that cannot wait for its writers.
func Discard() {
	begun.Lock()
	defer begun.Unlock()
	begun.ended = true
	for path := range begun.paths {
		_ = os.RemoveAll(path)
	}
}
