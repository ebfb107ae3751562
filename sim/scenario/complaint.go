package scenario

import "slices"

// Diagnose is what a diagnosis starts from.
type Diagnose struct {
	Complaint Complaint
	// Tools are those that the workshop has; none listed, all.
	Tools []Tool
}

// A Complaint is what the driver says of the brakes, in one word.
type Complaint string

// The complaints.
const (
	ComplaintHard   Complaint = "hard"
	ComplaintLow    Complaint = "low"
	ComplaintSpongy Complaint = "spongy"
	ComplaintSinks  Complaint = "sinks"
	ComplaintDrags  Complaint = "drags"
	ComplaintPulls  Complaint = "pulls"
	ComplaintHisses Complaint = "hisses"
)

// Complaints lists them.
func Complaints() []Complaint {
	return []Complaint{ComplaintHard, ComplaintLow, ComplaintSpongy, ComplaintSinks, ComplaintDrags, ComplaintPulls, ComplaintHisses}
}

// A Tool is one that a test needs and that not every workshop has.
type Tool string

// The tools.
const (
	VacuumGauge Tool = "vacuum-gauge"
	HandPump    Tool = "hand-pump"
	LineGauge   Tool = "line-gauge"
	PedalGauge  Tool = "pedal-gauge"
	Rule        Tool = "rule"
	Stopwatch   Tool = "stopwatch"
	HoseClamps  Tool = "hose-clamps"
	Spanners    Tool = "spanners"
	Lift        Tool = "lift"
)

var allTools = []Tool{VacuumGauge, HandPump, LineGauge, PedalGauge, Rule, Stopwatch, HoseClamps, Spanners, Lift}

// Has reports whether the workshop has a tool.
func (d Diagnose) Has(t Tool) bool { return len(d.Tools) == 0 || slices.Contains(d.Tools, t) }
