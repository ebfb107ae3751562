package scenario

import (
	"bytes"
	"unicode/utf16"
	"unicode/utf8"
)

// plainText returns a document as UTF-8 without a byte order mark. Editors of some systems
// save UTF-16, with a mark or without: letters with a zero beside each.
func plainText(data []byte) []byte { return withLines(decoded(data)) }

// withLines ends lines as TOML has them where they end in a bare carriage return.
func withLines(data []byte) []byte {
	if bytes.ContainsRune(data, '\n') {
		return data
	}
	return bytes.ReplaceAll(data, []byte{'\r'}, []byte{'\n'})
}

func decoded(data []byte) []byte {
	switch {
	case bytes.HasPrefix(data, []byte{0xef, 0xbb, 0xbf}):
		return data[3:]
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}):
		return fromUTF16(data[2:], 0)
	case bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		return fromUTF16(data[2:], 1)
	}
	const look = 200
	head := data[:min(len(data), look)&^1]
	for low := range 2 {
		zeros := 0
		for i := 1 - low; i < len(head); i += 2 {
			if head[i] == 0 {
				zeros++
			}
		}
		if len(head) >= 8 && zeros > len(head)/2*9/10 {
			return fromUTF16(data, low)
		}
	}
	return data
}

// fromUTF16 decodes units whose low byte is at low in each pair.
func fromUTF16(data []byte, low int) []byte {
	units := make([]uint16, 0, len(data)/2)
	for i := 0; i+1 < len(data); i += 2 {
		units = append(units, uint16(data[i+low])|uint16(data[i+1-low])<<8)
	}
	var out []byte
	for _, r := range utf16.Decode(units) {
		out = utf8.AppendRune(out, r)
	}
	return out
}
