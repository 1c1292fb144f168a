package site

import (
	"ullage/harness/fault"
	"ullage/harness/quantity"
)

// offerIce offers to freeze a pipe shut.
func (s *Site) offerIce(panel *fault.Panel, pipe string) {
	link, ice := s.plan.Links[pipe], new(float64)
	s.offer(panel, fault.Knob{Device: pipe, Kind: "pipe", Name: "ice", Dim: quantity.State, Max: 1, Join: fault.Largest}, ice, func() {
		s.solver.SetBlocked(link, *ice > 0)
		s.jump = true
	})
}
