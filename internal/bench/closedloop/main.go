// Closedloop diagnoses synthetic cars and writes down how often that was right.
// The cars differ from what is written of them more than, and otherwise than, a
// diagnosis assumes, and a fifth of them carry what it does not expect.
//
//	go -C internal/bench run ./closedloop -cars 1000 -o testdata/closedloop-2026-01-31.md -plot reliability.png
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"time"
)

func main() {
	cars := flag.Int("cars", 1000, "number of cars, over all kinds")
	orders := flag.Int("orders", 12, "number of cars on which fixed orders of the tests are tried, 0 for none")
	seed := flag.Uint64("seed", 20261125, "of the draw")
	output := flag.String("o", "", "write to a file instead of standard output")
	plot := flag.String("plot", "", "write the reliability diagram to a file ending in .png, .svg or .pdf")
	verbose := flag.Bool("v", false, "list every miss")
	flag.Parse()
	text, err := report(context.Background(), options{*cars, *orders, *seed, *verbose, *plot, time.Now()})
	if err == nil && *output != "" {
		err = os.WriteFile(*output, []byte(text), 0o666)
	} else if err == nil {
		fmt.Print(text)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}
