//go:build sundials

package native

import (
	_ "embed"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
)

//go:embed booster.c
var boosterSource []byte

//go:embed booster.h
var boosterHeader []byte

// Library compiles the equations, as they are in this program and with the same
// compiler options, to a shared library in dir, for programs in other languages.
func Library(dir string) (string, error) {
	for name, text := range map[string][]byte{"booster.c": boosterSource, "booster.h": boosterHeader} {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o666); err != nil {
			return "", err
		}
	}
	lib := filepath.Join(dir, "booster.so")
	out, err := exec.Command("cc", "-O2", "-shared", "-fPIC", "-o", lib, filepath.Join(dir, "booster.c"), "-lm").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("native: compiling a shared library: %w\n%s", err, out)
	}
	return lib, nil
}
