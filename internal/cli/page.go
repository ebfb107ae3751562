//go:build !js

package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"

	"github.com/spf13/cobra"

	"kneepoint/internal/pagefile"
	"kneepoint/internal/pattern"
)

const pageLong = `The whole program as one file for a browser.

Writes a page that needs no server and no network: opened from the disk, from a
stick or out of a mail, it drives the car and answers as the command line does.
A release has the file inside. A build from the sources makes it, in their
folder and with the Go toolchain: a minute.`

func (c *console) pageCommand() *cobra.Command {
	var output string
	cmd := &cobra.Command{
		Use:                   "page -o FILE.html",
		DisableFlagsInUseLine: true,
		Short:                 "The whole program as one file for a browser",
		Long:                  pageLong,
		Example:               examples("kneepoint page -o kneepoint.html"),
		Args:                  cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if output == "" {
				return wrong("-o", "nothing", "the name of a file to write, such as kneepoint.html")
			}
			if output != "-" {
				if err := checkWritable("-o", output, ""); err != nil {
					return err
				}
			}
			page := pagefile.Page()
			if page == nil {
				var err error
				if page, err = c.makePage(); err != nil {
					return err
				}
			}
			return c.put(output, func(w io.Writer) error {
				_, err := io.Copy(w, bytes.NewReader(page))
				return err
			})
		},
	}
	cmd.Flags().StringVarP(&output, "output", "o", "", "write the page into `FILE`")
	return cmd
}

// makePage builds the page from the sources around the working directory.
func (c *console) makePage() ([]byte, error) {
	root, ok := sources()
	if !ok {
		return nil, errors.New("this build has no page inside: run it in the folder of kneepoint's sources, where it can make one, or take a release")
	}
	dir, err := os.MkdirTemp("", "kneepoint-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	file := filepath.Join(dir, "kneepoint.html")
	c.say("making the page, which takes a minute")
	make := exec.CommandContext(c.ctx, "go", "-C", filepath.Join(root, "internal", "pagebuild"), "run", ".", "-o", file)
	make.Stderr = c.err
	if err := make.Run(); err != nil {
		return nil, fmt.Errorf("the page was not made: %w", err)
	}
	return os.ReadFile(file)
}

var ownModule = pattern.Lazy(`(?m)^module kneepoint$`)

// sources finds the program's own module around the working directory.
func sources() (root string, ok bool) {
	dir, err := os.Getwd()
	for err == nil {
		if text, err := os.ReadFile(filepath.Join(dir, "go.mod")); err == nil && ownModule().Match(text) {
			return dir, true
		}
		parent := filepath.Dir(dir)
		if parent == dir {
			break
		}
		dir = parent
	}
	return "", false
}
