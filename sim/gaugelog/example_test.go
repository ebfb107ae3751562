package gaugelog_test

import (
	"context"
	"fmt"
	"log"
	"strings"

	"kneepoint/sim/gaugelog"
	"kneepoint/sim/si"
)

// A header names each column with its unit; what is read is in SI.
func Example() {
	const logged = `time [s],front vacuum [inHg],pedal [lbf]
0,18.8,0
1,18.7,0
2,18.5,22
3,16.1,22
`
	l, err := gaugelog.Read(context.Background(), strings.NewReader(logged), "gauge.csv")
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf("%d rows, %.0f s\n", l.Rows, float64(l.Until()-l.From()))
	for i, c := range l.Columns {
		first := l.Points[0].Mean(i)
		fmt.Printf("%s: %s at first\n", c.Kind, si.Format(c.Kind.Dimension(), first, si.SI))
	}
	// Output:
	// 4 rows, 3 s
	// front vacuum: 64 kPa at first
	// pedal force: 0 N at first
}
