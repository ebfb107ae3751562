package fit_test

import (
	"context"
	"fmt"
	"log"
	"strings"

	"kneepoint/sim/fit"
	"kneepoint/sim/gaugelog"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A booster that loses vacuum with the engine off: how large the hole is.
func Example() {
	ctx := context.Background()
	const logged = `time [s],front vacuum [kPa]
0,60.02
10,57.47
20,55.06
30,52.70
40,50.48
50,48.35
60,46.32
`
	l, err := gaugelog.Read(ctx, strings.NewReader(logged), "gauge.csv")
	if err != nil {
		log.Fatal(err)
	}
	s, err := scenario.Builtin("fit.find=front-shell-leak")
	if err != nil {
		log.Fatal(err)
	}
	f, err := fit.New(s, l)
	if err != nil {
		log.Fatal(err) // scenario and log do not go together
	}
	r, err := f.Solve(ctx, nil)
	if err != nil {
		log.Fatal(err)
	}
	for _, u := range r.Unknowns {
		fmt.Printf("%s: %s, standard error %s\n", u.Name, si.FormatFine(u.Dim, si.Significant(u.Estimate, 2), si.SI),
			si.FormatFine(u.Dim, si.Significant(u.Error, 1), si.SI))
	}
	// Output:
	// front-shell-leak: 0.028 mm², standard error 0.0005 mm²
	// start-vacuum: 60 kPa, standard error 0.1 kPa
}
