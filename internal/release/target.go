package main

import (
	"context"
	"os"
	"os/exec"
)

// A target is a system that a release has a program for.
type target struct{ system, machine string }

func (t target) String() string { return t.system + "-" + t.machine }

// program is the name of the program's file.
func (t target) program() string {
	if t.system == "windows" {
		return "kneepoint.exe"
	}
	return "kneepoint"
}

// archive is the ending of what people there can open.
func (t target) archive() string {
	if t.system == "windows" {
		return ".zip"
	}
	return ".tar.gz"
}

// build writes the program without anything of this machine in it, but with the commit.
func (t target) build(ctx context.Context, program string) error {
	cmd := exec.CommandContext(ctx, "go", "build", "-trimpath", "-buildvcs=auto", "-tags=noasm"+withPage(), "-ldflags=-s -w", "-o", program, "./cmd/kneepoint")
	cmd.Env = append(os.Environ(), "GOOS="+t.system, "GOARCH="+t.machine, "CGO_ENABLED=0", "GOAMD64=v1", "GOARM64=v8.0", "GOFLAGS=", "GOEXPERIMENT=")
	cmd.Stdout, cmd.Stderr = os.Stderr, os.Stderr
	return cmd.Run()
}

// withPage is the tag that takes the page inside, where make page has made it.
func withPage() string {
	if _, err := os.Stat("internal/pagefile/kneepoint.html"); err != nil {
		return ""
	}
	return ",withpage"
}
