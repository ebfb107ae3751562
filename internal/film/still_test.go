package film

import (
	"encoding/xml"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kneepoint/sim/si"
)

func TestStill(t *testing.T) {
	for _, name := range []string{"stock-ten-inch", "big-cam-tandem", "big-cam-pump", "manual-pedal", "drums-all-round"} {
		text, err := Still(t.Context(), open(t, name), 100, si.US, "a <booster>", "still")
		require.NoError(t, err)
		if dir := os.Getenv("KEEP"); dir != "" {
			os.WriteFile(dir+"/"+name+".svg", []byte(strings.Replace(text, "<svg ", `<svg xmlns="http://www.w3.org/2000/svg" `, 1)), 0o666)
		}
		t.Log(len(text))
		d := xml.NewDecoder(strings.NewReader(text))
		for {
			_, err := d.Token()
			if err == io.EOF {
				break
			}
			require.NoError(t, err)
		}
		assert.NotContains(t, text, "var(")
	}
}
