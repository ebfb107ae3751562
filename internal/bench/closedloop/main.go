// Closedloop diagnoses synthetic cars and writes down how often that was right.
// The cars differ from what is written of them more than, and otherwise than, a diagnosis
// assumes; what they show (shows.go), who reads it (technician.go) and who drives them
// (driver.go) is this command's own, and shares no table with the diagnosis.
//
//	go -C internal/bench run ./closedloop -cars 1000 -o testdata/closedloop-2026-01-31.md -plot reliability.png
package main

import (
	"context"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"time"
)

func main() {
	cars := flag.Int("cars", 1000, "number of cars, over all kinds")
	seed := flag.Uint64("seed", 20261125, "of the draw")
	output := flag.String("o", "", "write to a file instead of standard output")
	plot := flag.String("plot", "", "write the reliability diagram to a file ending in .png, .svg or .pdf")
	verbose := flag.Bool("v", false, "list every miss, and tell of every car as it comes")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	text, err := report(ctx, options{*cars, *seed, *verbose, *plot, time.Now()})
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
