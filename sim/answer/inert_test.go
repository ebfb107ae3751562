package answer

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTextFromOutsideCannotAct(t *testing.T) {
	t.Parallel()
	assert.Equal(t, `red \u001b[31m, gone \u0000, turned \u202egnp.exe, \u009b, \u000d`, Inert("red \x1b[31m, gone \x00, turned \u202egnp.exe, \u009b, \r"))
	assert.Equal(t, "broken \ufffd.", Inert("broken \xff."))
	plain := "Jo's car: 9 in², 20 °C ± 1\n\tfür 車 עברית"
	assert.Equal(t, plain, Inert(plain), "what is only read stays")
}

func TestInertJSONMeansTheSame(t *testing.T) {
	t.Parallel()
	title := "a\\\u202eb\x1b\u2066"
	text, err := json.Marshal(title)
	require.NoError(t, err)
	var read string
	require.NoError(t, json.Unmarshal([]byte(Inert(string(text))), &read))
	assert.Equal(t, title, read)
}
