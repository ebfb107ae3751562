package cli

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestADoubleClickOpensThePage(t *testing.T) {
	t.Parallel()
	windows := start{system: "windows", explorer: true, folder: `C:\Users\jo\Downloads`, home: `C:\Users\jo`}
	prompt := windows
	prompt.explorer = false
	mac := start{system: "darwin", folder: "/Users/jo", home: "/Users/jo"}
	elsewhere := mac
	elsewhere.folder = "/Users/jo/cars"
	linux := start{system: "linux", folder: "/home/jo", home: "/home/jo"}
	for _, c := range []struct {
		name string
		args []string
		from start
		want []string
	}{
		{"clicked on Windows", []string{`C:\kneepoint.exe`}, windows, []string{"serve"}},
		{"a car dropped on it", []string{`C:\kneepoint.exe`, `C:\car.toml`}, windows, []string{"serve", `C:\car.toml`}},
		{"a shortcut with a verb", []string{`C:\kneepoint.exe`, "reserve"}, windows, nil},
		{"typed on Windows", []string{"kneepoint"}, prompt, nil},
		{"clicked on macOS", []string{"/Users/jo/Downloads/kneepoint"}, mac, []string{"serve"}},
		{"typed on macOS", []string{"kneepoint"}, mac, nil},
		{"typed with a verb", []string{"/Users/jo/Downloads/kneepoint", "curve"}, mac, nil},
		{"typed in another folder", []string{"/Users/jo/Downloads/kneepoint"}, elsewhere, nil},
		{"on Linux", []string{"/home/jo/kneepoint"}, linux, nil},
	} {
		got, clicked := asClicked(c.args, c.from)
		assert.Equal(t, c.want != nil, clicked, c.name)
		if c.want == nil {
			c.want = c.args[1:]
		}
		assert.Equal(t, c.want, got, c.name)
	}
}
