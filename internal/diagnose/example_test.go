package diagnose_test

import (
	"context"
	"fmt"
	"log"
	"strings"

	"kneepoint/internal/diagnose"
	"kneepoint/sim/scenario"
)

// The vacuum is there, and is lost within seconds of shutting it off: what is likely, and
// which test would tell more. Suspects have their chances and their reasons, too.
func Example() {
	const car = `[booster]
diameter = "10 in"
[pedal]
ratio = 4.0
[master]
bore = "1 in"
[source]
kind = "engine"
vacuum = "20 inHg"
[[reading]]
test = "manifold-vacuum"
value = "20 inHg"
[[reading]]
test = "booster-vacuum"
value = "19.9 inHg"
[[reading]]
test = "leak-down"
pedal = "0 lbf"
start = "18 inHg"
lasts = "15 s"
drop = "11 inHg"
`
	s, err := scenario.Read(strings.NewReader(car), "hard.toml")
	if err != nil {
		log.Fatal(err)
	}
	d, err := diagnose.Diagnose(context.Background(), s, nil)
	if err != nil {
		log.Fatal(err)
	}
	for _, suspect := range d.Suspects[:2] {
		fmt.Println(suspect.Fault)
	}
	fmt.Println("next:", d.Next.Test, "for", d.Next.Minutes, "minutes")
	// Output:
	// check-valve-leak
	// air-seat-leak
	// next: check-valve-blow for 2 minutes
}
