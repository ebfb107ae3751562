package diagnose

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"kneepoint/internal/portable"
	"kneepoint/internal/workshop"
	"kneepoint/sim"
	"kneepoint/sim/answer"
	"kneepoint/sim/si"
)

// diagnosisCaution goes with every diagnosis.
const diagnosisCaution = "While testing: chock the wheels, keep clear of belts and fan while the engine runs, and do not take the car on the road with a fault suspected."

// Words name the likely fault and why, then the next test.
func (d *Diagnosis) Words(u si.System) []string {
	words := []string{d.verdict(u)}
	if len(d.readings) > 0 {
		words = append(words, d.sideWords(), d.doWords(len(d.NotRuledOut)))
	}
	// Whether there is vacuum enough is asked of every car first.
	if text := d.Vacuum.words(u); text != "" {
		words = append(words, text)
	}
	words = append(words, d.l.note.Words(u)...)
	words = append(words, d.evidenceWords(u)...)
	for _, c := range d.conflicts {
		words = append(words, c.words(u))
	}
	if d.Unexplained >= worthMentioning {
		words = append(words, fmt.Sprintf("%s that it is something not in the list of faults, or a slip in a reading.", chance(d.Unexplained)))
		if track, factor, _ := d.readsLike(); track != nil && !(d.nothingExplains() && track.whole != "") {
			words = append(words, fmt.Sprintf("Of what is not in the list, it reads most like %s.", track.words(factor)))
		}
	}
	words = append(words, d.nextWords(u)...)
	words = append(words, d.Notes...)
	return append(words, diagnosisCaution, "Chances rest on estimates: how often each fault is there to begin with (more where inspections find it often), every severity as likely as any other, "+
		"what a driver complains of, gauges, signs, minutes, and the spread of cars about their figures."+d.flatWords())
}

// flatWords say what the frequencies of faults change.
func (d *Diagnosis) flatWords() string {
	if len(d.readings) == 0 {
		return ""
	}
	flat := map[string]float64{} // of groups, by their first
	first := ""
	for i := 0; i < len(d.Suspects); i += 1 + len(d.Suspects[i].IndistinguishableFrom) {
		name := d.Suspects[i].Fault
		for _, s := range d.Suspects[i : i+1+len(d.Suspects[i].IndistinguishableFrom)] {
			flat[name] += s.FlatProbability
		}
		if first == "" || flat[name] > flat[first] {
			first = name
		}
	}
	return fmt.Sprintf(" With all faults equally likely to begin with, %s would come first (%s).", describe(first), likelihood(flat[first]))
}

// worthMentioning is the least chance that is put into words (estimate).
const worthMentioning = 0.05

// confidence says how sure a probability is.
func confidence(p float64) string {
	switch {
	case p >= 0.95:
		return "almost certainly"
	case p >= 0.8:
		return "very likely"
	case p >= 0.5:
		return "more likely than not"
	}
	return "perhaps"
}

func chance(p float64) string {
	switch {
	case p > 0.995:
		return "There is a chance above 99 %"
	case p < 0.005:
		return "There is a chance below 1 %"
	}
	return fmt.Sprintf("There is a chance of %.0f %%", 100*p)
}

func likelihood(p float64) string {
	switch {
	case p > 0.995:
		return "over 99 %"
	case p < 0.005:
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

func (s *Suspect) words() string {
	if s.Fault == NoFault {
		return "no fault, or one too small for any of these tests to show"
	}
	var parts []string
	for _, f := range s.Faults {
		parts = append(parts, workshop.Describe(sim.FaultName(f)))
	}
	text := strings.Join(parts, " together with ")
	if len(parts) == 0 {
		text = s.Fault
	}
	return text
}

func (d *Diagnosis) size(s *Suspect, u si.System) string {
	var parts []string
	for k, f := range s.Faults {
		parts = append(parts, workshop.Size(sim.FaultName(f), s.Severities[k], d.l.config.Source.Vacuum, u))
	}
	return strings.Join(parts, ", ")
}

func (d *Diagnosis) verdict(u si.System) string {
	if len(d.readings) == 0 {
		return noReading + " Below is the test to begin with."
	}
	top := &d.Suspects[0]
	text := d.plainVerdict(u)
	if d.nothingExplains() {
		if top.class != otherPairs {
			text += fmt.Sprintf(" The best of the list is %s (%s).", top.words(), likelihood(top.Together))
		}
		return text
	}
	var others []string
	for i := 1 + len(top.IndistinguishableFrom); i < len(d.Suspects); i += 1 + len(d.Suspects[i].IndistinguishableFrom) {
		if s := &d.Suspects[i]; s.Together >= worthMentioning && len(others) < 4 {
			others = append(others, fmt.Sprintf("%s (%s)", s.words(), likelihood(s.Together)))
		}
	}
	if len(others) > 0 {
		text += " Next in line: " + strings.Join(others, ", ") + "."
	}
	return text
}

// unexplainedVerdict is the verdict where no fault in the list explains the readings. Two
// readings of one pipe say where to look all the same.
func (d *Diagnosis) unexplainedVerdict(u si.System) string {
	if d.Vacuum.lost() {
		return fmt.Sprintf("Vacuum is lost between manifold and booster, by the hose or by air let in, and by no one fault in the list alone (%s that it is something else).", likelihood(d.Unexplained))
	}
	text := fmt.Sprintf("Nothing in the list of faults explains these readings well (%s that it is something else).", likelihood(d.Unexplained))
	if track, factor, share := d.readsLike(); track != nil && track.whole != "" {
		text += fmt.Sprintf(" It reads most like %s (%s).", track.words(factor), likelihood(share))
	}
	return text
}

// readsLike is what of all that is in no list the readings are like, if one has half of it; with
// the factor by which it is off, and how likely it is.
func (d *Diagnosis) readsLike() (t *unlistedTrack, factor, share float64) {
	if t, factor, share = d.p.likeliestUnlisted(); share < 0.5*d.Unexplained {
		return nil, 1, 0
	}
	return t, factor, share
}

// someOf lists the first few of some names and counts the others.
func someOf(names []string, few int) string {
	if len(names) <= few {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:few], ", "), len(names)-few)
}

// evidenceWords tell what speaks for and against the first suspect.
func (d *Diagnosis) evidenceWords(u si.System) []string {
	if len(d.readings) == 0 {
		return nil
	}
	top := d.Suspects[0]
	lines := d.because(&top, u)
	if len(lines) == 0 {
		return nil
	}
	order := make([]int, len(lines))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(math.Abs(portable.Log(top.evidence[b].factor)), math.Abs(portable.Log(top.evidence[a].factor)))
	})
	var words []string
	for _, i := range order {
		words = append(words, upperFirst(lines[i])+".")
	}
	return words
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func (d *Diagnosis) nextWords(u si.System) []string {
	n := d.Next
	if n == nil {
		return []string{"None of the tests left would tell more."}
	}
	lead := "Next test"
	switch {
	case len(d.readings) == 0:
		lead = "First test"
	case d.Settled && d.sure():
		lead = "That is sure enough to act on. If it should be surer still, the next test"
	case d.Settled:
		lead = "No test that is left is worth its minutes. If it should be surer all the same, the next test"
	}
	words := []string{fmt.Sprintf("%s: %s. %s It takes about %.0f minutes (estimate).",
		lead, spoken(n.trial, u), n.trial.How(u), n.Minutes)}
	words[0] += fmt.Sprintf(" A sound car reads %s.", n.healthy(u))
	for i := range n.Outcomes {
		o := &n.Outcomes[i]
		words = append(words, fmt.Sprintf("If it reads %s (%s): then most likely %s (%s).", o.words(u), likelihood(o.Probability), describe(o.Fault), likelihood(o.Then)))
	}
	return words
}

// healthy is what a sound car reads.
func (n *NextTest) healthy(u si.System) string {
	switch v := n.Sound.Value(); {
	case n.trial.IsYesNo():
		return n.trial.Word(v > 0)
	case n.trial.Counts():
		return fmt.Sprintf("about %.0f stops", v)
	default:
		return "about " + si.Format(n.trial.Dimension(), v, u)
	}
}

// shownFrom is the least chance of a fault in the short table.
const shownFrom = 0.01

// Tables are all suspects, those worth a line, the tests that are left, and what
// cannot be told apart.
func (d *Diagnosis) Tables() []answer.Table {
	columns := []answer.Column{
		{Key: "fault", Title: "fault"},
		{Key: "probability", Title: "chance", Dim: si.DimRatio},
		{Key: "severity", Title: "severity, 0 to 1", Dim: si.DimRatio},
		{Key: "indistinguishable_from", Title: "not told from"},
	}
	all := answer.Table{Name: "all faults", Columns: columns, Detail: true}
	faults := answer.Table{Name: "faults", Columns: columns}
	add := func(together float64, row ...answer.Cell) {
		all.Rows = append(all.Rows, row)
		if together >= shownFrom {
			faults.Rows = append(faults.Rows, row)
		}
	}
	for _, s := range d.Suspects {
		var severity answer.Cell
		if len(s.Faults) > 0 {
			severity = s.Severity
		}
		add(s.Together, s.Fault, s.Probability, severity, strings.Join(s.IndistinguishableFrom, ", "))
	}
	add(1, Unexplained, d.Unexplained, nil, "")

	tests := answer.Table{Name: "tests left, the best for their time first", Columns: []answer.Column{
		{Key: "test", Title: "test"}, {Key: "pedal", Title: "pedal", Dim: si.DimForce},
		{Key: "booster_vacuum", Title: "vacuum", Dim: si.DimVacuum}, {Key: "lasts", Title: "lasts", Dim: si.DimTime},
		{Key: "expected_bits", Title: "bits", Dim: si.DimRatio}, {Key: "minutes", Title: "minutes (estimate)", Dim: si.DimNone},
	}}
	left := d.Others
	if d.Next != nil {
		left = append([]NextTest{*d.Next}, left...)
	}
	for _, n := range left {
		with := n.Start
		if !with.Exists() {
			with = n.Vacuum
		}
		tests.Rows = append(tests.Rows, []answer.Cell{n.Test, n.Pedal.Cell(), with.Cell(), n.Lasts.Cell(), n.Bits, int(n.Minutes)})
	}

	indistinguishable := answer.Table{Name: "faults that no test tells apart", Detail: true, Columns: []answer.Column{
		{Key: "fault", Title: "fault"}, {Key: "from", Title: "from"},
		{Key: "severity_low", Title: "severity from", Dim: si.DimRatio}, {Key: "severity_high", Title: "to", Dim: si.DimRatio},
	}}
	for _, a := range d.Indistinguishable {
		indistinguishable.Rows = append(indistinguishable.Rows, []answer.Cell{a.Fault, a.From, a.Low, a.High})
	}
	return []answer.Table{all, faults, tests, indistinguishable}
}

// barsShown is how many suspects the picture has.
const barsShown = 8

// Figures is the chance of the first suspects.
func (d *Diagnosis) Figures() []answer.Figure {
	p := answer.Panel{X: answer.Axis{Label: "Chance", Dim: si.DimRatio, From: 0, To: 1}}
	for _, s := range d.Suspects[:min(barsShown, len(d.Suspects))] {
		p.Bars = append(p.Bars, answer.Bar{Label: s.Fault, Value: s.Probability, Low: s.Probability, High: s.Probability})
	}
	p.Bars = append(p.Bars, answer.Bar{Label: Unexplained, Value: d.Unexplained, Low: d.Unexplained, High: d.Unexplained, Role: answer.Second})
	return []answer.Figure{{Name: "diagnosis", Title: answer.Titled("What the readings say", d.title), Panels: []answer.Panel{p},
		Note: "Simulated; chances rest on estimates. No safety approval."}}
}

// Document is the diagnosis itself.
func (d *Diagnosis) Document() any { return d }

var _ answer.Answer = (*Diagnosis)(nil)
