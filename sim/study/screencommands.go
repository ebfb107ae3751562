package study

import (
	"fmt"

	"kneepoint/sim/answer"
	"kneepoint/sim/scenario"
	"kneepoint/sim/si"
)

// What the verbs send each other's readers to.
var (
	toChoose   = answer.Command{Verb: "choose"}
	toReserve  = answer.Command{Verb: "reserve"}
	toBalance  = answer.Command{Verb: "balance"}
	toFailures = answer.Command{Verb: "failures"}
	toCurve    = answer.Command{Verb: "curve"}
)

// What those verbs are for, in an advice.
const (
	seeParts    = "see what other boosters, tanks, pumps, bores and pedals would do"
	seeReserve  = "count the stops that are left when the engine dies"
	seeBalance  = "see which valve keeps the rear wheels from locking first"
	seeFailures = "see what is left when a circuit or the vacuum fails"
	seeHardStop = "see how hard a stop in an emergency is"
)

// measured is an advice to find a figure out, empty where it cannot be said how.
func measured(s *scenario.Scenario, name, key string) string {
	how := s.HowToMeasure(key)
	if how == "" {
		return ""
	}
	return fmt.Sprintf("find out %s (%s)", name, how)
}

// gaugeFirst is the advice for a car whose vacuum nobody measured.
const gaugeFirst = "put a vacuum gauge on the manifold, engine warm and idling in gear, and ask again with what it reads, in place of 12 inHg"

// nobodyMeasured says what such a car's vacuum may be, without a stop at the end.
func nobodyMeasured(low, high si.Vacuum, u si.System) string {
	return "Nobody measured the idle vacuum: the cam lets expect " + si.FormatSpan(si.DimVacuum, float64(low), float64(high), u)
}
