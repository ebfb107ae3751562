package sim

// A FaultName names a fault in the trade's words.
type FaultName string

// The faults that can be simulated.
const (
	FaultCheckValveLeak    FaultName = "check-valve-leak"
	FaultHoseLeak          FaultName = "hose-leak"
	FaultHoseRestricted    FaultName = "hose-restricted"
	FaultFrontShellLeak    FaultName = "front-shell-leak"
	FaultDiaphragmTorn     FaultName = "diaphragm-torn"
	FaultAirSeatLeak       FaultName = "air-seat-leak"
	FaultVacuumSeatLeak    FaultName = "vacuum-seat-leak"
	FaultFilterBlocked     FaultName = "filter-blocked"
	FaultLowSourceVacuum   FaultName = "low-source-vacuum"
	FaultBoosterUndersized FaultName = "booster-undersized"
	FaultPedalRatioWrong   FaultName = "pedal-ratio-wrong"
	FaultBoreOversize      FaultName = "bore-oversize"
	FaultPushrodTooLong    FaultName = "pushrod-too-long"
	FaultAirInCircuit      FaultName = "air-in-circuit"

	FaultCheckValveStuck      FaultName = "check-valve-stuck"
	FaultPedalBinds           FaultName = "pedal-binds"
	FaultPushrodTooShort      FaultName = "pushrod-too-short"
	FaultMasterBypass         FaultName = "master-bypass"
	FaultReturnPortCovered    FaultName = "return-port-covered"
	FaultOutsideLeak          FaultName = "outside-leak"
	FaultFluidBoiled          FaultName = "fluid-boiled"
	FaultHoseSwollen          FaultName = "hose-swollen"
	FaultHoseBlocked          FaultName = "hose-blocked"
	FaultLineBlocked          FaultName = "line-blocked"
	FaultCaliperSeized        FaultName = "caliper-seized"
	FaultLiningsGlazed        FaultName = "linings-glazed"
	FaultShoesOutOfAdjustment FaultName = "shoes-out-of-adjustment"
)

// A faultKind is one row of the table of faults.
type faultKind struct {
	name FaultName
	by   FaultMeasure
	side Side
}

// A FaultMeasure says which field of a [Fault] holds how bad it is.
type FaultMeasure string

// The measures of a fault.
const (
	FaultByArea     FaultMeasure = "area"
	FaultByOpen     FaultMeasure = "open"
	FaultBySeverity FaultMeasure = "severity"
)

// faultKinds are all faults, in the order from the engine to the road. The rod between
// booster and master cylinder is counted to the booster, on which it is adjusted.
var faultKinds = []faultKind{
	{FaultCheckValveLeak, FaultByArea, SideSupply},
	{FaultCheckValveStuck, FaultBySeverity, SideSupply},
	{FaultHoseLeak, FaultByArea, SideSupply},
	{FaultHoseRestricted, FaultByOpen, SideSupply},
	{FaultFrontShellLeak, FaultByArea, SideBooster},
	{FaultDiaphragmTorn, FaultByArea, SideBooster},
	{FaultAirSeatLeak, FaultByArea, SideBooster},
	{FaultVacuumSeatLeak, FaultByArea, SideBooster},
	{FaultFilterBlocked, FaultByOpen, SideBooster},
	{FaultLowSourceVacuum, FaultBySeverity, SideSupply},
	{FaultBoosterUndersized, FaultBySeverity, SideBooster},
	{FaultPedalRatioWrong, FaultBySeverity, SideNone},
	{FaultPedalBinds, FaultBySeverity, SideNone},
	{FaultPushrodTooLong, FaultBySeverity, SideBooster},
	{FaultPushrodTooShort, FaultBySeverity, SideBooster},
	{FaultBoreOversize, FaultBySeverity, SideHydraulic},
	{FaultMasterBypass, FaultBySeverity, SideHydraulic},
	{FaultReturnPortCovered, FaultBySeverity, SideHydraulic},
	{FaultOutsideLeak, FaultBySeverity, SideHydraulic},
	{FaultAirInCircuit, FaultBySeverity, SideHydraulic},
	{FaultFluidBoiled, FaultBySeverity, SideHydraulic},
	{FaultHoseSwollen, FaultBySeverity, SideHydraulic},
	{FaultHoseBlocked, FaultBySeverity, SideHydraulic},
	{FaultLineBlocked, FaultBySeverity, SideHydraulic},
	{FaultCaliperSeized, FaultBySeverity, SideWheel},
	{FaultLiningsGlazed, FaultBySeverity, SideWheel},
	{FaultShoesOutOfAdjustment, FaultBySeverity, SideWheel},
}

// FaultNames returns the faults that can be simulated.
func FaultNames() []FaultName {
	names := make([]FaultName, len(faultKinds))
	for i, k := range faultKinds {
		names[i] = k.name
	}
	return names
}

func (n FaultName) kind() faultKind {
	for _, k := range faultKinds {
		if k.name == n {
			return k
		}
	}
	return faultKind{by: FaultBySeverity}
}

// Measure returns how the fault is measured: leaks of air by their area, restrictions
// of it by the share still open, all else by severity.
func (n FaultName) Measure() FaultMeasure { return n.kind().by }

// Side returns the part of the way from pedal to road that the fault is on.
func (n FaultName) Side() Side { return n.kind().side }

// MarshalJSON writes the side's name, or null.
func (s Side) MarshalJSON() ([]byte, error) {
	if s == SideNone {
		return []byte("null"), nil
	}
	return []byte(`"` + s + `"`), nil
}
