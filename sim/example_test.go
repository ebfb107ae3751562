package sim_test

import (
	"context"
	"fmt"
	"log"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// A car is pressed once with the engine idling, and once with it off. A sample
// every second tells what the foot got for its force.
func Example() {
	car := sim.Typical()
	car.Source.Vacuum = 16 * si.InchOfMercury
	car.Pedal.Ratio = 4

	model, err := sim.New(car)
	if err != nil {
		log.Fatal(err) // names every value that cannot be
	}
	run, err := model.Run(context.Background(), sim.Schedule{
		Presses: []sim.Press{
			{At: 1, Pedal: 100, Press: 0.3, Hold: 2, Release: 0.3},
			{At: 6, Pedal: 100, Press: 0.3, Hold: 2, Release: 0.3},
		},
		Events: []sim.Event{{At: 5, Engine: sim.EngineOff}},
		Until:  10,
	})
	if err != nil {
		log.Fatal(err)
	}
	for _, x := range run.Every(2) {
		fmt.Printf("%.0f s: %s at the pedal, %s in the line, %s of vacuum, %s\n", float64(x.Time),
			si.Format(si.DimForce, float64(x.Pedal), si.SI),
			si.Format(si.DimPressure, float64(x.LineFront), si.SI),
			si.Format(si.DimVacuum, float64(x.FrontVacuum), si.SI),
			si.Format(si.DimAcceleration, float64(x.Deceleration), si.SI))
	}

	// Output:
	// 0 s: 0 N at the pedal, 0.0 MPa in the line, 54 kPa of vacuum, 0.00 g
	// 2 s: 100 N at the pedal, 4.1 MPa in the line, 54 kPa of vacuum, 0.59 g
	// 4 s: 0 N at the pedal, 0.0 MPa in the line, 52 kPa of vacuum, 0.00 g
	// 6 s: 0 N at the pedal, 0.0 MPa in the line, 53 kPa of vacuum, 0.00 g
	// 8 s: 100 N at the pedal, 4.1 MPa in the line, 42 kPa of vacuum, 0.59 g
	// 10 s: 0 N at the pedal, 0.0 MPa in the line, 30 kPa of vacuum, 0.00 g
}
