// Package physics holds the pure functions of the model: gas flow and state,
// the standard atmosphere, brake force and adhesion.
package physics

// Air as an ideal gas.
const (
	// GasConstant is that of dry air in J/(kg K) (ISO 2533, published text: 287.05287).
	GasConstant = 287.05
	// Gamma is the ratio of the specific heats.
	Gamma = 1.4
	// HeatAtVolume and HeatAtPressure are the specific heats in J/(kg K).
	HeatAtVolume   = GasConstant / (Gamma - 1)
	HeatAtPressure = Gamma * HeatAtVolume
)
