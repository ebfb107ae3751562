package cli

import (
	"os"
	"path/filepath"
	"runtime"

	"github.com/inconshreveable/mousetrap"
)

// A start is what a process knows of how it was started.
type start struct {
	system string
	// explorer says that the parent is the desktop of Windows.
	explorer bool
	// folder is the working directory, and home the user's.
	folder, home string
}

func thisStart() start {
	s := start{system: runtime.GOOS, explorer: mousetrap.StartedByExplorer()}
	s.folder, _ = os.Getwd()
	s.home, _ = os.UserHomeDir()
	return s
}

// asClicked returns the arguments, without the program's name, that fit how the program
// was started: double-clicked it opens the page, and for a file that was dropped on it
// the page with that car. On macOS a double click is a command that a terminal types: the
// program's whole path, in the home folder, with nothing behind it. Whoever types just
// that gets the page too.
func asClicked(args []string, s start) (rest []string, clicked bool) {
	rest = args[min(1, len(args)):]
	switch s.system {
	case "windows":
		clicked = s.explorer && (len(rest) == 0 || len(rest) == 1 && filepath.Ext(rest[0]) == ".toml")
	case "darwin":
		clicked = len(args) == 1 && filepath.IsAbs(args[0]) && s.home != "" && s.folder == s.home
	}
	if clicked {
		return append([]string{"serve"}, rest...), true
	}
	return rest, false
}
