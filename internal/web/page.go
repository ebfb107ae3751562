package web

import (
	"embed"
	"io/fs"
	"net/http"
)

//go:embed page
var embedded embed.FS

// page serves the files of the page.
func page() http.Handler {
	files, err := fs.Sub(embedded, "page")
	if err != nil {
		panic(err) // an embedded directory can always be opened
	}
	return http.FileServerFS(files)
}
