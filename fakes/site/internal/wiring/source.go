package wiring

import (
	"math"

	"ullage/fakes/internal/electric"
	"ullage/harness/sitefile"
)

// leadOhms is the resistance of the lead between an adapter and a capacitor, Ω (common practice, no source).
const leadOhms = 0.05

// source is where the controller's supply comes from.
type source struct {
	spec        *sitefile.Power
	nominal     float64 // V, of the site file
	alternating bool    // a transformer, or what stands for one
	battery     *electric.Battery
	farads      float64

	factor, more, charge float64 // knobs
	charged              float64 // the knob charge as it was worked out with last
}

// described reports whether the site file says what the supply is.
func (s *source) described() bool { return s.spec.Rated.IsSet() || s.spec.Rated.SI == 0 }

// share is what is left of the battery's charge when so much of it has been drawn.
func (s *source) share(drawn float64) float64 {
	return math.Min(s.charge, math.Max(0, 1-drawn/s.battery.Capacity))
}

// after is the source as it is when so much charge has been drawn.
func (s *source) after(drawn float64) electric.Source {
	made := electric.Source{EMF: s.nominal, Ohms: s.spec.InternalResistance.SI}
	switch rated := s.spec.Rated.SI; {
	case s.battery != nil:
		made = s.battery.With(s.share(drawn))
	case rated > 0 && s.alternating: // which has its voltage at its rated current
		made.EMF += float64(rated * made.Ohms)
	case rated > 0:
		made.Limit = sitefile.AdapterLimit * rated
		if s.farads > 0 { // which would follow it at once
			made.Ohms = math.Max(made.Ohms, leadOhms)
		}
	}
	made.EMF *= s.factor
	made.Ohms += s.more
	return made
}
