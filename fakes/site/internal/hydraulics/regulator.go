package hydraulics

import (
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// openRegulator declares the pressure behind a regulator, and offers to keep a share of its passage open whatever the
// pressure behind it is: a little of it is a seat that does not close, all of it a regulator that has failed open.
func openRegulator(s *Step, spec sitefile.Regulator) {
	openBehind(s, spec.Name)
	link, seat, share := s.plan.Links[spec.Name], s.plan.Bypasses[spec.Name], new(float64)
	s.Offer(fault.Knob{Device: spec.Name, Kind: "regulator", Name: "held open", Dim: quantity.Fraction, Max: 1,
		Join: fault.Largest}, share, func(signal.Time) {
		held := passable(*share)
		s.solver.SetKv(link, spec.Capacity.SI*(1-held)) // both together pass what it passes sound
		s.solver.SetKv(seat, spec.Capacity.SI*held)
		s.jump = true
	})
}
