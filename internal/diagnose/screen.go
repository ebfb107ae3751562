package diagnose

import (
	"fmt"
	"slices"
	"strings"

	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// Screen names the likely fault in words, what speaks for it most, and what to do or to test
// next.
func (d *Diagnosis) Screen(u si.System) answer.Screen {
	s := answer.Screen{Verdict: []string{d.shortVerdict(u)}, DependsOn: "the readings, of which there are none yet"}
	if text := d.Vacuum.said("", u); text != "" {
		s.Verdict = append(s.Verdict, text)
	}
	if text := d.l.note.AltitudeWords(u); text != "" {
		s.Verdict = append(s.Verdict, text)
	}
	if n := len(d.conflicts); n > 0 {
		text := d.conflicts[0].words(u)
		if n > 1 {
			text += fmt.Sprintf(" And %d more pairs of readings do.", n-1)
		}
		s.Verdict = append(s.Verdict, text)
	}
	s.Verdict = append(s.Verdict, diagnosisCaution)
	if evidence := d.evidenceWords(u); len(evidence) > 0 {
		s.DependsOn = strings.Replace(strings.TrimSuffix(evidence[0], "."), besideOthers, "", 1)
	}
	s.Next = d.shortNext(u)
	if d.Next != nil {
		s.Command = answer.Command{Verb: "diagnose", Args: []string{"--ask"}}
	}
	return s
}

// shortVerdict is the verdict without the names that files have for faults.
func (d *Diagnosis) shortVerdict(u si.System) string {
	if len(d.readings) == 0 {
		return noReading
	}
	text := d.plainVerdict(u)
	if other := d.otherRepair(); other != nil && !d.nothingExplains() {
		text += fmt.Sprintf(" Next in line: %s (%s).", other.words(), likelihood(other.Together))
	}
	if d.Unexplained >= worthMentioning && !d.nothingExplains() {
		text += fmt.Sprintf(" Something not in the list, or a slip in a reading: %s.", likelihood(d.Unexplained))
	}
	text += " " + d.sideWords()
	if danger := d.dangerWords(fewUnseen); danger != "" {
		text += " " + danger
	}
	return text
}

// otherRepair is the next suspect worth a word that is begun with otherwise than the first.
func (d *Diagnosis) otherRepair() *Suspect {
	top := &d.Suspects[0]
	for i := 1 + len(top.IndistinguishableFrom); i < len(d.Suspects) && d.Suspects[i].Together >= worthMentioning; i++ {
		if s := &d.Suspects[i]; !slices.ContainsFunc(s.Faults, func(f string) bool { return slices.Contains(top.Faults, f) }) {
			return s
		}
	}
	return nil
}

// shortNext is what to do where the fault is sure, and else the next test.
func (d *Diagnosis) shortNext(u si.System) string {
	test, how, sound, left := d.PlainNext(u)
	if len(d.readings) > 0 && (!left || d.Settled) {
		return strings.TrimSuffix(strings.TrimPrefix(d.repairWords(), "To do: "), ".")
	}
	if !left {
		return "none of the tests left would tell more"
	}
	return fmt.Sprintf("%s. %s About %.0f minutes (estimate); a sound car reads %s. To be asked test by test", test, how, d.Next.Minutes, sound)
}
