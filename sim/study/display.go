package study

import "kneepoint/sim/si"

func pedal(f si.Force, u si.System) string       { return si.Format(si.DimForce, float64(f), u) }
func pressure(p si.Pressure, u si.System) string { return si.Format(si.DimPressure, float64(p), u) }
func vacuum(v si.Vacuum, u si.System) string     { return si.Format(si.DimVacuum, float64(v), u) }
