package browsertest

import (
	"github.com/chromedp/cdproto/input"
	"github.com/stretchr/testify/require"
)

// keyNumbers are the numbers of the keys that tests press, keyTexts what they write.
var (
	keyNumbers = map[string]int64{
		"Backspace": 8, "Tab": 9, "Enter": 13, "Escape": 27, " ": 32, "ArrowLeft": 37, "ArrowUp": 38, "ArrowDown": 40, "1": '1', "2": '2',
	}
	keyTexts = map[string]string{"Enter": "\r", " ": " ", "1": "1", "2": "2"}
)

// Key presses a key and lets it go: "Tab", "Enter", "Escape", " ", "ArrowDown".
func (b *Tab) Key(key string) {
	b.t.Helper()
	number, ok := keyNumbers[key]
	require.True(b.t, ok, key)
	code := key
	if key == " " {
		code = "Space"
	}
	Command(b, input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeKeyDown, Key: key, Code: code, WindowsVirtualKeyCode: number, Text: keyTexts[key]})
	Command(b, input.DispatchKeyEvent, input.DispatchKeyEventParams{Type: input.DispatchKeyEventTypeKeyUp, Key: key, Code: code, WindowsVirtualKeyCode: number})
}
