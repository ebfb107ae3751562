package scenario

import (
	"errors"
	"fmt"
	"strings"

	"kneepoint/sim/si"
)

// Choose is what a choice of parts must reach, and the parts to choose from.
type Choose struct {
	// Deceleration or LinePressure is the demand; the other is zero.
	Deceleration si.Acceleration
	LinePressure si.Pressure
	// PedalLimit is for the ordinary stop, with the engine idling; DeadLimit for the
	// StopsLeft stops with the engine dead.
	PedalLimit    si.Force
	DeadLimit     si.Force
	StopsLeft     int
	RechargeLimit si.Time
	TravelLimit   si.Length
	// MaxDiameter is the room there is; zero for no limit.
	MaxDiameter si.Length
	// MaxDepth is the room from the firewall forward; zero for no limit.
	MaxDepth     si.Length
	Boosters     []BoosterSize
	Reservoirs   []si.Volume
	Pumps        []bool
	Bores        []si.Length
	ManualRatios []si.Ratio
}

// A BoosterSize is one booster to choose: its diameters, none for no booster.
type BoosterSize struct {
	Diameters []si.Length
	// Text is the size as it was written: "8 in + 8 in", "none".
	Text string
}

// Depth returns how far a booster of the size stands out from the firewall
// (estimate): shells grow deeper with their diameter, and a second diaphragm adds
// some 55 mm.
func (b BoosterSize) Depth() si.Length {
	if b.None() {
		return 0
	}
	widest := b.Diameters[0]
	for _, d := range b.Diameters {
		widest = max(widest, d)
	}
	return 0.1 + 0.12*widest + 0.055*si.Length(len(b.Diameters)-1)
}

// None reports whether the size stands for a pedal without booster.
func (b BoosterSize) None() bool { return len(b.Diameters) == 0 }

// String returns the size as it was written.
func (b BoosterSize) String() string { return b.Text }

// Settings returns the settings, and the paths to leave to their defaults, that
// put a booster of the size into a scenario; they are for [Scenario.Edit].
func (b BoosterSize) Settings() (set []Setting, unset []string) {
	if b.None() {
		return []Setting{{Path: KeyBoosterKind, Value: "none"}}, nil
	}
	return []Setting{{Path: KeyBoosterKind, Value: "vacuum"}, {Path: KeyBoosterDiameter, Value: b.Text}},
		[]string{KeyBoosterArea, KeyBoosterFrontVolume, KeyBoosterRearVolume}
}

const boosterSizeWant = `a size such as "8 in", "8 in + 8 in" or "none"`

// parseBoosterSize reads "8 in", "8 in + 8 in" or "none".
func parseBoosterSize(text string) (BoosterSize, error) {
	size := BoosterSize{Text: strings.TrimSpace(text)}
	switch strings.ToLower(size.Text) {
	case "none", "manual", "no booster":
		size.Text = "none"
		return size, nil
	}
	parts := diameterTexts(size.Text)
	for i, part := range parts {
		var err error
		if parts[i], err = sizeWithUnit(part); err != nil {
			return BoosterSize{}, err
		}
	}
	if !strings.Contains(size.Text, " + ") {
		size.Text = strings.Join(parts, " + ")
	}
	if len(parts) > 2 {
		return BoosterSize{}, fmt.Errorf("has %d diaphragms", len(parts))
	}
	for _, part := range parts {
		d, err := si.ParseAs[si.Length](part)
		var wrong *si.ParseError
		switch {
		case errors.As(err, &wrong):
			return BoosterSize{}, errors.New(wrong.Reason)
		case d < 20e-3 || d > 0.8:
			return BoosterSize{}, errors.New("is not a diameter from 20 mm to 800 mm")
		}
		size.Diameters = append(size.Diameters, d)
	}
	return size, nil
}
