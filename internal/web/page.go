//go:build !js

package web

import (
	"embed"
	"io/fs"
	"net/http"
)

//go:embed page
var embedded embed.FS

// Files returns the files of the page.
func Files() fs.FS {
	files, err := fs.Sub(embedded, "page")
	if err != nil {
		panic(err) // an embedded directory can always be opened
	}
	return files
}

// page serves the files of the page.
func page() http.Handler {
	return http.FileServerFS(Files())
}
