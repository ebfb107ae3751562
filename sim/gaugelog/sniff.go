package gaugelog

import (
	"bufio"
	"bytes"
	"io"
	"unicode/utf16"
	"unicode/utf8"
)

// strangers are files that are no text but may be taken for a log, by their first bytes.
var strangers = []struct{ begins, is, want string }{
	{"\x1f\x8b", "a file packed by gzip", "the log itself: unpack it, as gunzip does"},
	{"PK\x03\x04", "a zip archive, or a spreadsheet's own file (.xlsx, .ods)", "the log itself: unpack it, or save the sheet as CSV"},
	{"\xd0\xcf\x11\xe0", "a spreadsheet's own file (.xls)", "the sheet saved as CSV"},
	{"BZh", "a file packed by bzip2", "the log itself: unpack it, as bunzip2 does"},
	{"\xfd7zXZ", "a file packed by xz", "the log itself: unpack it, as unxz does"},
	{"\x28\xb5\x2f\xfd", "a file packed by zstd", "the log itself: unpack it, as unzstd does"},
	{"%PDF", "a PDF", "the log as a table of text, such as CSV"},
	{"\x89PNG", "a picture", "the log as a table of text, such as CSV"},
}

// stranger says what a file is that is no text, and what would be right; both are empty
// for text.
func stranger(r *bufio.Reader) (is, want string) {
	const look = 64
	first, _ := r.Peek(look)
	for _, s := range strangers {
		if bytes.HasPrefix(first, []byte(s.begins)) {
			return s.is, s.want
		}
	}
	if bytes.IndexByte(first, 0) >= 0 {
		return "bytes that are no text", "the log as a table of text, such as CSV"
	}
	return "", ""
}

// asUTF8 turns UTF-16, which some systems save, into UTF-8 as it is read: with a mark at
// its beginning, or with a zero in nearly every pair of bytes.
func asUTF8(r *bufio.Reader) *bufio.Reader {
	const look = 200
	first, _ := r.Peek(look)
	low := -1
	switch {
	case bytes.HasPrefix(first, []byte{0xff, 0xfe}):
		low = 0
	case bytes.HasPrefix(first, []byte{0xfe, 0xff}):
		low = 1
	default:
		first = first[:len(first)&^1]
		for try := range 2 {
			zeros := 0
			for i := 1 - try; i < len(first); i += 2 {
				if first[i] == 0 {
					zeros++
				}
			}
			const least, most = 4, 0.9
			if len(first)/2 >= least && float64(zeros) > most*float64(len(first)/2) {
				low = try
			}
		}
	}
	if low < 0 {
		return r
	}
	return bufio.NewReaderSize(&fromUTF16{r: r, low: low}, longestLine)
}

// fromUTF16 reads UTF-16, of which the low byte of each unit is at low, as UTF-8.
type fromUTF16 struct {
	r    *bufio.Reader
	low  int
	half rune // the first half of a pair of units, or 0
}

func (f *fromUTF16) Read(into []byte) (n int, err error) {
	for n+utf8.UTFMax <= len(into) {
		var pair [2]byte
		if _, err := io.ReadFull(f.r, pair[:]); err != nil {
			if n > 0 {
				return n, nil
			}
			return 0, io.EOF
		}
		unit := rune(pair[f.low]) | rune(pair[1-f.low])<<8
		switch {
		case f.half != 0:
			unit, f.half = utf16.DecodeRune(f.half, unit), 0
		case utf16.IsSurrogate(unit):
			f.half = unit
			continue
		}
		n += utf8.EncodeRune(into[n:], unit)
	}
	return n, nil
}
