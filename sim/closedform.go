package sim

import "kneepoint/sim/si"

// ClosedForm is what the booster's equilibrium gives without its dynamics, to
// stand beside the simulated curve.
type ClosedForm struct {
	// Ratio is the slope of the boosted line, JumpIn its start.
	Ratio  si.Ratio `json:"ratio"`
	JumpIn si.Force `json:"jump_in_n"`
	// KneeInput and KneeOutput are where all the help there is has been given.
	KneeInput  si.Force `json:"knee_input_n"`
	KneeOutput si.Force `json:"knee_output_n"`
}

// Help is the most that the booster adds to the input at a front vacuum and a hub travel:
// vacuum × area - springs.
func (b *Booster) Help(front si.Vacuum, travel si.Length) si.Force {
	return si.Force(float64(front)*float64(b.Area) - float64(b.Spring) - float64(b.SpringRate)*float64(travel))
}

// ClosedForm evaluates the equilibrium at the front vacuum and the hub travel
// of the applied state: (vacuum × area - springs + i × cut-in - jump-in)/(i - 1).
// At a boost ratio i of 1 there is no knee, and it is infinite.
func (b *Booster) ClosedForm(front si.Vacuum, travel si.Length) ClosedForm {
	i := float64(b.Ratio)
	help := float64(b.Help(front, travel))
	input := (help + i*float64(b.CutIn) - float64(b.JumpIn)) / (i - 1)
	return ClosedForm{
		Ratio:      b.Ratio,
		JumpIn:     b.JumpIn,
		KneeInput:  si.Force(input),
		KneeOutput: si.Force(input + help),
	}
}
