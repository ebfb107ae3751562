// Command example asks how hard one car has to be pressed after its engine has died.
package main

import (
	"context"
	"fmt"
	"log"

	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
	"kneepoint/sim/study"
)

func main() {
	car, err := scenario.Builtin("source.vacuum=11 inHg", "booster.diameter=9 in")
	if err != nil {
		log.Fatal(err) // names the key, what was read and what would be right
	}
	for _, tank := range []si.Volume{0, 2 * si.Litre} {
		with, err := car.WithSI("reservoir.volume", float64(tank))
		if err != nil {
			log.Fatal(err)
		}
		answer, err := study.Reserve(context.Background(), with, nil)
		if err != nil {
			log.Fatal(err)
		}
		fmt.Printf("tank of %v: %s\n", tank, answer.Words(si.US)[0])
	}
}
