package main

import (
	"errors"
	"fmt"
	"path/filepath"

	"github.com/evanw/esbuild/pkg/api"
)

// bundle joins the page's modules into one script; the carrier to a server is left out
// for the one to the program inside.
func bundle(files string) ([]byte, error) {
	carrier, err := filepath.Abs(filepath.Join(files, "file", "carrier.js"))
	if err != nil {
		return nil, err
	}
	inside := api.Plugin{Name: "carrier", Setup: func(b api.PluginBuild) {
		b.OnResolve(api.OnResolveOptions{Filter: `^\./carrier\.js$`}, func(api.OnResolveArgs) (api.OnResolveResult, error) {
			return api.OnResolveResult{Path: carrier}, nil
		})
	}}
	result := api.Build(api.BuildOptions{
		EntryPoints: []string{filepath.Join(files, "page", "main.js")}, Bundle: true, Format: api.FormatIIFE, Charset: api.CharsetUTF8,
		Target: api.ES2022, MinifyWhitespace: true, MinifySyntax: true, Plugins: []api.Plugin{inside},
	})
	if len(result.Errors) > 0 {
		return nil, errors.New(result.Errors[0].Text)
	}
	if len(result.OutputFiles) != 1 {
		return nil, fmt.Errorf("the bundler made %d files, want 1", len(result.OutputFiles))
	}
	return held(result.OutputFiles[0].Contents)
}
