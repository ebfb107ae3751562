package scenario_test

import (
	"fmt"
	"log"
	"strings"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// A scenario is read with what a flag would say over it. What it need not say has a
// default, or is worked out from the rest.
func Example() {
	const car = `title = "Tern Lane Garage, the blue coupé"
[booster]
diameter = "9 in"
[pedal]
ratio = 4.0
[master]
bore = "1 in"
[source]
kind = "engine"
vacuum = "12 inHg"
`
	s, err := scenario.Read(strings.NewReader(car), "coupe.toml", "pedal.ratio=4.2")
	if err != nil {
		log.Fatal(err) // names file, line, key, what was read and what would be right
	}
	fmt.Println(s.Title)
	fmt.Println(si.Show(s.Config.Source.Vacuum, si.US), "of vacuum,", float64(s.Config.Pedal.Ratio), "of pedal ratio")
	_, err = scenario.Read(strings.NewReader(strings.Replace(car, "12 inHg", "12 lbf", 1)), "coupe.toml")
	fmt.Println(err)
	// Output:
	// Tern Lane Garage, the blue coupé
	// 12.0 inHg of vacuum, 4.2 of pedal ratio
	// coupe.toml:10: source.vacuum: read "12 lbf", which is a force, want a vacuum, e.g. "20 inHg" or "67.7 kPa"
}
