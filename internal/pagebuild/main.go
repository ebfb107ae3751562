// Pagebuild makes the page with the whole program inside: one file of HTML that asks
// nothing of anyone. It is a module of its own, since the bundler is no part of what it
// makes.
//
//	go -C internal/pagebuild run . -o ../../dist/kneepoint.html
package main

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"encoding/ascii85"
	"encoding/base64"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

func main() {
	out := flag.String("o", "kneepoint.html", "the `FILE` to write")
	root := flag.String("root", "../..", "the `FOLDER` of the program's module")
	flag.Parse()
	if err := build(*root, *out); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// build writes the page beside its place and then moves it there.
func build(root, out string) error {
	page, err := assemble(root)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(out), 0o755); err != nil {
		return err
	}
	beside := out + ".part"
	if err := os.WriteFile(beside, page, 0o644); err != nil {
		return err
	}
	return errors.Join(os.Rename(beside, out))
}

func assemble(root string) ([]byte, error) {
	files := filepath.Join(root, "internal", "web")
	html, err := os.ReadFile(filepath.Join(files, "page", "index.html"))
	if err != nil {
		return nil, err
	}
	var look []byte
	for _, name := range []string{"look.css", "doors.css"} {
		text, err := os.ReadFile(filepath.Join(files, "page", name))
		if err != nil {
			return nil, err
		}
		look = append(look, text...)
	}
	icon, err := os.ReadFile(filepath.Join(files, "page", "knee.svg"))
	if err != nil {
		return nil, err
	}
	old, err := os.ReadFile(filepath.Join(files, "page", "old.js"))
	if err != nil {
		return nil, err
	}
	script, err := bundle(files)
	if err != nil {
		return nil, err
	}
	worker, err := workerScript(files)
	if err != nil {
		return nil, err
	}
	program, err := program(root)
	if err != nil {
		return nil, err
	}
	policy := fmt.Sprintf("default-src 'none'; script-src '%s' '%s' '%s' 'wasm-unsafe-eval'; style-src '%s'; img-src data:; worker-src blob:; base-uri 'none'; form-action 'none'",
		hash(script), hash(old), hash([]byte(handOver)), hash(look))
	parts := [][2]string{
		{`<meta charset="utf-8">`, `<meta charset="utf-8">` + "\n" + `<meta http-equiv="Content-Security-Policy" content="` + policy + `">`},
		{`<link rel="icon" href="knee.svg" type="image/svg+xml">`, `<link rel="icon" href="data:image/svg+xml;base64,` + base64.StdEncoding.EncodeToString(icon) + `">`},
		{`<link rel="stylesheet" href="look.css">`, "<style>" + string(look) + "</style>"},
		{`<link rel="stylesheet" href="doors.css">` + "\n", ""},
		{`<script type="module" src="main.js"></script>` + "\n", ""},
		{`<script nomodule defer src="old.js"></script>` + "\n", ""},
		{`</body>`, `<script type="text/plain" id="worker">` + string(worker) + "</script>\n" +
			"<script>" + string(script) + "</script>\n<script>" + string(old) + "</script>\n" + program + "</body>"},
	}
	page := string(html)
	for _, p := range parts {
		if strings.Count(page, p[0]) != 1 {
			return nil, fmt.Errorf("index.html: %q is there %d times, want once", p[0], strings.Count(page, p[0]))
		}
		page = strings.Replace(page, p[0], p[1], 1)
	}
	return []byte(page), nil
}

func hash(text []byte) string {
	sum := sha256.Sum256(text)
	return "sha256-" + base64.StdEncoding.EncodeToString(sum[:])
}

// workerScript is Go's own support script, as the toolchain has it, with the worker's behind.
func workerScript(files string) ([]byte, error) {
	goroot, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		return nil, err
	}
	support, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(goroot)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return nil, err
	}
	own, err := os.ReadFile(filepath.Join(files, "file", "worker.js"))
	if err != nil {
		return nil, err
	}
	return held(append(support, own...))
}

// held is a script that can stand between the tags of another.
func held(script []byte) ([]byte, error) {
	if bytes.Contains(bytes.ToLower(script), []byte("</script")) || bytes.Contains(script, []byte("<!--")) {
		return nil, errors.New("a script ends its own element")
	}
	return script, nil
}

// program compiles the program for a browser and packs it.
func program(root string) (string, error) {
	dir, err := os.MkdirTemp("", "kneepoint-page-")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "program.wasm")
	compile := exec.Command("go", "build", "-trimpath", "-tags", "noasm", "-ldflags", "-s -w", "-o", file, "./cmd/kneepage")
	compile.Dir = root
	compile.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm", "GOWASM=", "CGO_ENABLED=0")
	compile.Stderr = os.Stderr
	if err := compile.Run(); err != nil {
		return "", fmt.Errorf("the program was not compiled: %w", err)
	}
	code, err := os.ReadFile(file)
	if err != nil {
		return "", err
	}
	var packed bytes.Buffer
	z, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return "", err
	}
	if _, err := z.Write(code); err != nil {
		return "", err
	}
	if err := z.Close(); err != nil {
		return "", err
	}
	return pieces(packed.Bytes()), nil
}

// handOver stands behind each piece of the program, for the page's script to take it while
// the browser reads the next.
const handOver = "window.kneepointPiece&&kneepointPiece()"

// pieceBytes is how much of the packed program is one piece: whole groups of Ascii85.
const pieceBytes = 64 << 12

// pieces are the elements that hold the packed program.
func pieces(packed []byte) string {
	var out strings.Builder
	for piece := range slices.Chunk(packed, pieceBytes) {
		// Base64 would take a fifteenth more; a < could end the element that holds this.
		letters := make([]byte, ascii85.MaxEncodedLen(len(piece)))
		letters = letters[:ascii85.Encode(letters, piece)]
		fmt.Fprintf(&out, "<script type=\"application/gzip\">%s</script><script>%s</script>\n", strings.ReplaceAll(string(letters), "<", "v"), handOver)
	}
	return out.String()
}
