package film

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"io"
	"os"
)

// The signature is a text chunk that says which program made a PNG. By it a later film
// knows the pictures that it may replace.
var signature = chunk("tEXt", "Software\x00kneepoint film")

// afterHeader is where a PNG's first chunk, of a known length, ends.
const afterHeader = 8 + 25

func chunk(kind, data string) []byte {
	out := binary.BigEndian.AppendUint32(nil, uint32(len(data)))
	out = append(out, kind+data...)
	return binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[4:]))
}

// signed puts the signature into a PNG.
func signed(picture []byte) []byte {
	if len(picture) < afterHeader {
		return picture
	}
	out := make([]byte, 0, len(picture)+len(signature))
	out = append(out, picture[:afterHeader]...)
	out = append(out, signature...)
	return append(out, picture[afterHeader:]...)
}

// IsFrame reports whether a file is a picture of an earlier film.
func IsFrame(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	head := make([]byte, afterHeader+len(signature))
	if _, err := io.ReadFull(f, head); err != nil {
		return false
	}
	return bytes.HasPrefix(head, []byte("\x89PNG")) && bytes.Equal(head[afterHeader:], signature)
}
