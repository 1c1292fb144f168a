package wiring

import (
	"math"

	"ullage/fakes/internal/electric"
	"ullage/harness/sitefile"
)

// leadOhms is the resistance of a supply that nothing pulls down, with its lead, Ω (common practice, no source).
const leadOhms = 0.05

// source is where the controller's supply comes from.
type source struct {
	spec    *sitefile.Power // nil: nothing pulls the supply down
	nominal float64         // V, of the site file
	battery *electric.Battery
	farads  float64

	factor, more, charge float64 // knobs
	charged              float64 // the knob charge as it was worked out with last
}

// share is what is left of the battery's charge when so much of it has been drawn.
func (s *source) share(drawn float64) float64 {
	return math.Min(s.charge, math.Max(0, 1-drawn/s.battery.Capacity))
}

// after is the source as it is when so much charge has been drawn.
func (s *source) after(drawn float64) electric.Source {
	var made electric.Source
	switch {
	case s.battery != nil:
		made = s.battery.With(s.share(drawn))
	case s.spec != nil:
		made = electric.Source{EMF: s.nominal, Ohms: s.spec.InternalResistance.SI}
	default:
		made.EMF = s.nominal
	}
	made.EMF *= s.factor
	made.Ohms += s.more
	return made
}
