package main

import (
	"archive/tar"
	"archive/zip"
	"bytes"
	"cmp"
	"compress/gzip"
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// sumsName is the file that sha256sum -c reads.
const sumsName = "SHA256SUMS"

// A file is one of an archive, by its name within.
type file struct {
	name    string
	content []byte
	runs    bool
}

func (f file) mode() int64 {
	if f.runs {
		return 0o755
	}
	return 0o644
}

// writeArchive packs the files into one folder, in an order and with a date that do not
// hang on the machine.
func writeArchive(path, folder string, files []file, made time.Time) error {
	slices.SortFunc(files, func(a, b file) int { return cmp.Compare(a.name, b.name) })
	var packed bytes.Buffer
	pack := packTar
	if filepath.Ext(path) == ".zip" {
		pack = packZip
	}
	if err := pack(&packed, folder, files, made); err != nil {
		return err
	}
	return os.WriteFile(path, packed.Bytes(), 0o666)
}

func packTar(w io.Writer, folder string, files []file, made time.Time) error {
	squeezed, err := gzip.NewWriterLevel(w, gzip.BestCompression)
	if err != nil {
		return err
	}
	archive := tar.NewWriter(squeezed)
	for _, f := range files {
		header := &tar.Header{Name: folder + "/" + f.name, Mode: f.mode(), Size: int64(len(f.content)), ModTime: made, Format: tar.FormatUSTAR}
		if err := archive.WriteHeader(header); err != nil {
			return err
		}
		if _, err := archive.Write(f.content); err != nil {
			return err
		}
	}
	if err := archive.Close(); err != nil {
		return err
	}
	return squeezed.Close()
}

func packZip(w io.Writer, folder string, files []file, made time.Time) error {
	archive := zip.NewWriter(w)
	for _, f := range files {
		header := &zip.FileHeader{Name: folder + "/" + f.name, Method: zip.Deflate, Modified: made}
		header.SetMode(os.FileMode(f.mode()))
		entry, err := archive.CreateHeader(header)
		if err != nil {
			return err
		}
		if _, err := entry.Write(f.content); err != nil {
			return err
		}
	}
	return archive.Close()
}

// writeSums writes the SHA-256 of every file in the folder.
func writeSums(folder string) error {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return err
	}
	var sums strings.Builder
	for _, e := range entries {
		if !e.Type().IsRegular() || e.Name() == sumsName {
			continue
		}
		content, err := os.ReadFile(filepath.Join(folder, e.Name()))
		if err != nil {
			return err
		}
		fmt.Fprintf(&sums, "%x  %s\n", sha256.Sum256(content), e.Name())
	}
	return os.WriteFile(filepath.Join(folder, sumsName), []byte(sums.String()), 0o666)
}
