//go:build js

// Kneepage is the program inside a page: a worker of the browser runs it. It answers the
// command line's verbs, and what the page asks of its server.
package main

import "kneepoint/internal/pageworker"

func main() { pageworker.Run() }
