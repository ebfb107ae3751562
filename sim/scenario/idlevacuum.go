package scenario

import (
	"fmt"
	"slices"

	"kneepoint/sim"
	"kneepoint/sim/si"
)

// EstimatedVacuum returns between which values the idle vacuum is estimated to
// lie; ok is false where it was set. The source's vacuum in the configuration is
// then the middle of the band.
func (s *Scenario) EstimatedVacuum() (low, high si.Vacuum, ok bool) {
	if !s.estimated {
		return 0, 0, false
	}
	i := slices.IndexFunc(s.Spreads, func(t Spread) bool { return t.Path == KeySourceVacuum })
	if i < 0 { // taken away by who wants one car
		return 0, 0, false
	}
	t := s.Spreads[i]
	return si.Vacuum(t.Value - t.HalfWidth), si.Vacuum(t.Value + t.HalfWidth), true
}

const (
	// offTheBand is how far from the band a measured idle vacuum is worth a
	// second look (estimate).
	offTheBand si.Vacuum = 3 * si.InchOfMercury
	// longDuration is beyond what most cams have at 0.050 in; an advertised
	// duration is counted from less lift (common practice, no source).
	longDuration = 265.0

	measureIt = "out of gear with nothing to drive; measure it"
)

// deriveIdleVacuum estimates the idle vacuum from the cam where it was not set,
// and compares the two where it was.
func (r *resolver) deriveIdleVacuum() {
	source, engine := &r.s.Config.Source, &r.s.also.idling
	engine.Displacement, engine.Compression, engine.IdleSpeed = source.Displacement, source.Compression, source.IdleSpeed
	if !r.canEstimate() {
		return
	}
	*engine = engine.WithUsualParts()
	cam, given := r.s.set[KeyCamDuration]
	if !given || source.Kind != sim.SourceEngine {
		return
	}
	if engine.Cam.Duration > longDuration {
		r.warn(cam, KeyCamDuration, cam.value.read(),
			"at most 265 as a rule; an advertised duration is some 50 degrees longer than that at 0.050 in (common practice, no source)")
	}
	if valve, ok := r.s.set[KeyCamIntakeValve]; ok && engine.Cam.IntakeValve >= engine.Bore {
		r.fail(valve.place, KeyCamIntakeValve, valve.value.read(), "less than the cylinder bore of "+engine.Bore.String())
		return
	}
	if measured, ok := r.s.set[KeySourceVacuum]; ok {
		r.compareWithCam(measured)
		return
	}
	r.estimateFromCam(cam)
}

// canEstimate reports whether all that the estimate is made of is possible; what
// is not will be refused.
func (r *resolver) canEstimate() bool {
	for i := range keys {
		k := &keys[i]
		ofCam := inTable(k.path, "cam") || k.path == KeySourceCylinders || k.path == KeySourceCylinderBore
		if ofCam && (r.failed[k.path] || r.isSet(k.path) && k.outside(k.at(r.s, 0), si.SI) != nil) {
			return false
		}
	}
	others := []string{KeyAmbientPressure, KeySourceMeasuredPressure, KeySourceIdleSpeed, KeySourceDisplacement, KeySourceCompression}
	return !r.failed[KeySourceVacuum] && !slices.ContainsFunc(r.s.Config.Check(), func(p sim.Problem) bool {
		return p.Fatal && slices.Contains(others, keyOfField(p.Field))
	})
}

// compareWithCam warns about a measured vacuum far from what the cam lets expect.
func (r *resolver) compareWithCam(measured setting) {
	source := r.s.Config.Source
	low, high := sim.EstimateIdleVacuum(r.s.also.idling, source.MeasuredPressure)
	if source.Vacuum < low-offTheBand || source.Vacuum > high+offTheBand {
		r.warn(measured, KeySourceVacuum, measured.value.read(),
			fmt.Sprintf("nearer to what the cam lets expect, %s (estimate): check the gauge, or for a leak or late timing", bandText(low, high)))
	}
}

// estimateFromCam puts the middle of the band in the place of a measured vacuum.
func (r *resolver) estimateFromCam(cam setting) {
	for _, path := range []string{KeySourceMeasuredAt, KeySourceMeasuredPressure} {
		if set, ok := r.s.set[path]; ok {
			r.fail(set.place, path, set.value.read(), "source.vacuum with it, as it was measured there")
		}
	}
	source := &r.s.Config.Source
	source.MeasuredPressure = r.s.Config.Ambient.Pressure
	low, high := sim.EstimateIdleVacuum(r.s.also.idling, source.MeasuredPressure)
	source.Vacuum = (low + high) / 2
	r.s.estimated = true
	r.s.Spreads = append(r.s.Spreads, Spread{
		Path: KeySourceVacuum, Dim: si.DimVacuum, Value: float64(source.Vacuum), HalfWidth: float64(high-low) / 2, Estimated: true,
	})
	r.warn(cam, KeySourceVacuum, "nothing",
		fmt.Sprintf("a measurement: estimated from the cam at %s, %s", bandText(low, high), measureIt))
}

func (r *resolver) warn(set setting, path, read, want string) {
	r.s.Warnings = append(r.s.Warnings, set.place.problem(path, read, want))
}

// bandText prints a band in both systems, as messages do.
func bandText(low, high si.Vacuum) string {
	band := func(system si.System) string { return si.FormatSpan(si.DimVacuum, float64(low), float64(high), system) }
	return band(si.US) + " (" + band(si.SI) + ")"
}
