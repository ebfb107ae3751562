package study

import (
	"fmt"
	"strconv"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// mostCars is how many cars a first screen has room for.
const mostCars = 4

// Screen is a line a car, and which of them needs least of the foot.
func (r *CompareResult) Screen(u si.System) answer.Screen {
	lightest := r.lightest()
	best := &r.Cars[lightest]
	lead := fmt.Sprintf("In a hard stop %s asks least of the foot: %s.", best.Name, best.Curve.hardStop().short(u))
	switch {
	case !best.Curve.hardStop().Pedal.Exists():
		lead = "A hard stop is out of reach for every one of these cars."
	case r.alike(u):
		lead = fmt.Sprintf("A hard stop asks the same of the foot in all of these cars: %s.", best.Curve.hardStop().short(u))
	}
	t := answer.Table{Columns: []answer.Column{
		{Key: "car", Title: "car"},
		{Key: "hard_stop_pedal", Title: "hard stop", Dim: si.DimForce},
		{Key: "effort", Title: "that is"},
		{Key: "easy_stops", Title: "engine dead: easy stops"},
		{Key: "heavy_stops", Title: "at most heavy"},
	}}
	for i := range r.Cars[:min(len(r.Cars), mostCars)] {
		car := &r.Cars[i]
		easy, heavy := car.Reserve.spans()
		t.Rows = append(t.Rows, []answer.Cell{car.Name, car.Curve.hardStop().Pedal.Cell(), car.Curve.hardStop().called(), easy, heavy})
	}
	s := answer.Screen{Verdict: []string{r.changed(u), lead}, Table: &t, DependsOn: best.Curve.dependsOn(u)}
	if v := best.Reserve.VolumeRange; v.decides() {
		s.DependsOn += "; and the stops on the room in the booster"
	}
	s.Next = "--plot compare.png draws the curves side by side; kneepoint choose sets further parts beside those of one car"
	return s
}

// hardStop is that at the least vacuum.
func (r *CurveResult) hardStop() *HardStop { return &r.Curves[0].HardStop }

// spans are the counts of stops that are easy and at most heavy, from the least to the most
// room in the booster.
func (r *ReserveResult) spans() (easy, heavy string) {
	low, high := r.tally(), r.tally()
	if v := r.VolumeRange; v.decides() {
		low, high = v.low, v.high
	}
	span := func(a, b int) string {
		text := strconv.Itoa(b)
		if b == high.Made {
			text += " or more"
		}
		if a != b {
			text = strconv.Itoa(a) + " to " + text
		}
		return text
	}
	return span(low.Easy, high.Easy), span(low.Heavy, high.Heavy)
}

// lightest is the car whose hard stop needs least; the first where none can be had.
func (r *CompareResult) lightest() int {
	best := 0
	for i := range r.Cars {
		this, least := r.Cars[i].Curve.hardStop().Pedal, r.Cars[best].Curve.hardStop().Pedal
		if this.Value() < least.Value() || this.Exists() && !least.Exists() {
			best = i
		}
	}
	return best
}

// alike says that the hard stops are the same as far as a text shows.
func (r *CompareResult) alike(u si.System) bool {
	for i := range r.Cars {
		if r.Cars[i].Curve.hardStop().short(u) != r.Cars[0].Curve.hardStop().short(u) {
			return false
		}
	}
	return true
}
