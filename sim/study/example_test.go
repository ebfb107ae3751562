package study_test

import (
	"context"
	"fmt"
	"log"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

// How many stops are left when the engine dies: the answer as figures, and in words.
func ExampleReserve() {
	s, err := scenario.Builtin("source.vacuum=16 inHg", "reserve.stops=4")
	if err != nil {
		log.Fatal(err)
	}
	r, err := study.Reserve(context.Background(), s, nil)
	if err != nil {
		log.Fatal(err)
	}
	for i, stop := range r.Stops {
		fmt.Printf("stop %d: assisted %t\n", i+1, stop.Assisted)
	}
	fmt.Println(r.Words(si.US)[0])
	// Output:
	// stop 1: assisted true
	// stop 2: assisted true
	// stop 3: assisted false
	// stop 4: assisted false
	// After the engine dies, from 16.0 inHg in the booster, 2 stops are easy, and 2 to at least 4 at most heavy. With the least room: from stop 3 on the booster no longer matters.
}
