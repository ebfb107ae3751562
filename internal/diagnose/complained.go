package diagnose

import (
	"slices"

	"kneepoint/internal/portable"
	"kneepoint/internal/workshop"
	"kneepoint/sim"
)

// A driver complains of what he notices: hardly of a fault of a tenth of the scale, and of one
// beyond six tenths always (estimate).
const (
	noticedAlways = 0.6
	noticedLeast  = 0.1
)

// notSaid is the share of those without a complaint of whom nobody asked: nothing follows from
// that. The others noticed nothing (estimate).
const notSaid = 0.5

// noticed is the chance that a driver notices a fault of a severity.
func noticed(severity float64) float64 { return clamp(severity/noticedAlways, noticedLeast, 1) }

// noticedMean is that over all severities.
var noticedMean = func() float64 {
	sum := 0.0
	for i := range severities {
		sum += noticed((float64(i)+0.5)/severities) / severities
	}
	return sum
}()

// saidOf is by how much what the driver says, or that he says nothing, makes one fault of a
// severity more likely.
func (l *Library) saidOf(fault int, severity float64) float64 {
	return l.noticedAs(noticed(severity), l.complained(fault))
}

// saidOfTrack is that of what is in no list, off by a share of the most.
func (l *Library) saidOfTrack(t *unlistedTrack, share float64) float64 {
	return l.noticedAs(noticed(share), t.complained(l.complaint))
}

// noticedAs is the same of what is noticed with a chance, and then makes the complaint so many
// times more likely.
func (l *Library) noticedAs(chance, odds float64) float64 {
	if l.complaint == "" {
		return notSaid + (1-notSaid)*(1-chance)/(1-noticedMean)
	}
	return odds * chance / noticedMean
}

// saidOfAnything is the same, as a logarithm, of anything: noticed as often as a fault of the list,
// it reads as anything may, and otherwise as a sound car. Given are the logarithms of both likelihoods.
func (l *Library) saidOfAnything(anything, sound float64) float64 {
	if l.complaint != "" {
		return anything
	}
	both := notSaid*noticedMean + (1-notSaid*noticedMean)*portable.Exp(sound-anything)
	return anything + portable.Log(both)
}

// saidOfPair is the same of two: of one is complained that is noticed, of the other the less the
// less it is.
func (l *Library) saidOfPair(c *pairCell) float64 {
	a, b := noticed(c.severities[0]), noticed(c.severities[1])
	none := (1 - a) * (1 - b)
	if l.complaint == "" {
		return notSaid + (1-notSaid)*none/(1-noticedMean)
	}
	return (1 - none) * (a*l.complained(c.a) + b*l.complained(c.b)) / (a + b) / noticedMean
}

// complained is by how much the complaint makes a fault more likely that is noticed.
func (l *Library) complained(fault int) float64 {
	if fault == noFault {
		if l.lowSource() == noFault {
			return 1
		}
		return workshop.ComplaintOdds(sim.FaultLowSourceVacuum, l.complaint)
	}
	sum := 0.0
	for _, name := range l.faults[fault].names {
		sum += workshop.ComplaintOdds(name, l.complaint)
	}
	return sum / float64(len(l.faults[fault].names))
}

// lowSource is the fault that a car has whose vacuum, as it is written, is short of what
// its booster needs; noFault where it is not.
func (l *Library) lowSource() int {
	if !l.vacuum.Short {
		return noFault
	}
	return slices.IndexFunc(l.faults, func(t track) bool { return slices.Contains(t.names, sim.FaultLowSourceVacuum) })
}
