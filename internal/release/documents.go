package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"

	"kneepoint/internal/cli"
	"kneepoint/internal/licence"
)

// documents are what an archive has beside the program.
func documents(ctx context.Context, build *debug.BuildInfo, made time.Time) ([]file, error) {
	var files []file
	for _, name := range []string{"LICENSE", "README.md", "CHANGELOG.md"} {
		content, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		files = append(files, file{name: name, content: content})
	}
	licences, err := licenceTexts(ctx, build)
	if err != nil {
		return nil, err
	}
	manual, err := manualPages(version(build), made)
	if err != nil {
		return nil, err
	}
	completions, err := completionFiles()
	return append(append(append(files, licences...), manual...), completions...), err
}

// licenceTexts are the list of what is inside, and the full texts from the modules'
// folders, which is where the compiler took them from.
func licenceTexts(ctx context.Context, build *debug.BuildInfo) ([]file, error) {
	parts, err := licence.Inside(build)
	if err != nil {
		return nil, err
	}
	var list bytes.Buffer
	if err := licence.Write(&list, parts); err != nil {
		return nil, err
	}
	files := []file{{name: "licences/LIST.txt", content: list.Bytes()}}
	for _, p := range parts[1:] { // the first is this program, with its LICENSE
		dir, err := moduleFolder(ctx, p.Module)
		if err != nil {
			return nil, err
		}
		text, err := p.Text(dir)
		if err != nil {
			return nil, err
		}
		name := p.Module
		if p.Holds != "" {
			name += " " + p.Holds
		}
		files = append(files, file{name: "licences/" + fileName(name) + ".txt", content: []byte(text)})
	}
	return files, nil
}

// fileName keeps of a text what any system takes for a file's name.
func fileName(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '.', r == '-':
			return r
		}
		return '-'
	}, strings.ReplaceAll(text, "'", ""))
}

// moduleFolder is where a module is unpacked, or Go's own folder for its library.
func moduleFolder(ctx context.Context, module string) (string, error) {
	args := []string{"list", "-m", "-f", "{{.Dir}}", module}
	if module == "std" {
		args = []string{"env", "GOROOT"}
	}
	out, err := exec.CommandContext(ctx, "go", args...).Output()
	if err != nil {
		return "", fmt.Errorf("go %s: %w", strings.Join(args, " "), err)
	}
	return strings.TrimSpace(string(out)), nil
}

// manualPages has a page of section 1 for each verb.
func manualPages(version string, made time.Time) ([]file, error) {
	root := cli.Command()
	root.DisableAutoGenTag = true
	dir, err := os.MkdirTemp("", "kneepoint-manual-*")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	header := &doc.GenManHeader{Title: "KNEEPOINT", Section: "1", Date: &made, Source: "kneepoint " + version, Manual: "Kneepoint"}
	if err := doc.GenManTree(root, header, dir); err != nil {
		return nil, err
	}
	pages, err := filepath.Glob(filepath.Join(dir, "*.1"))
	if err != nil {
		return nil, err
	}
	var files []file
	for _, page := range pages {
		content, err := os.ReadFile(page)
		if err != nil {
			return nil, err
		}
		files = append(files, file{name: "man/man1/" + filepath.Base(page), content: content})
	}
	return files, nil
}

// completionFiles has one for each shell, by the name that the shell looks for.
func completionFiles() ([]file, error) {
	root := cli.Command()
	shells := []struct {
		name  string
		write func(*cobra.Command, *bytes.Buffer) error
	}{
		{"bash/kneepoint", func(c *cobra.Command, w *bytes.Buffer) error { return c.GenBashCompletionV2(w, true) }},
		{"zsh/_kneepoint", func(c *cobra.Command, w *bytes.Buffer) error { return c.GenZshCompletion(w) }},
		{"fish/kneepoint.fish", func(c *cobra.Command, w *bytes.Buffer) error { return c.GenFishCompletion(w, true) }},
		{"powershell/kneepoint.ps1", func(c *cobra.Command, w *bytes.Buffer) error { return c.GenPowerShellCompletionWithDesc(w) }},
	}
	var files []file
	for _, shell := range shells {
		var text bytes.Buffer
		if err := shell.write(root, &text); err != nil {
			return nil, err
		}
		files = append(files, file{name: "completions/" + shell.name, content: text.Bytes()})
	}
	return files, nil
}
