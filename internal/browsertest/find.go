package browsertest

import (
	"os"
	"os/exec"
	"testing"
)

// needed makes tests in a browser fail instead of being skipped where there is none.
const needed = "KNEEPOINT_NEED_BROWSER"

func find(t testing.TB) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	if os.Getenv(needed) == "1" {
		t.Fatal("no chromium was found, and " + needed + " is 1")
	}
	t.Skip("no chromium was found")
	return ""
}

// Long marks a test that looks at the page for a long time: it is skipped unless a browser
// is needed, so that go test stays quick where there happens to be one.
func Long(t testing.TB) {
	t.Helper()
	if os.Getenv(needed) != "1" {
		t.Skip("a long look at the page: " + needed + "=1 has it done")
	}
}
