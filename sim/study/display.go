package study

import (
	"kneepoint/internal/verdict"
	"kneepoint/sim/si"
)

func pedal(f si.Force, u si.System) string       { return verdict.Force(f, u) }
func pressure(p si.Pressure, u si.System) string { return si.Show(p, u) }
func vacuum(v si.Vacuum, u si.System) string     { return si.Show(v, u) }
