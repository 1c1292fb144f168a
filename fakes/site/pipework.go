package site

import (
	"ullage/fakes/water"
	"ullage/harness/fault"
)

// openSupplies declares the mains and offers their pressure.
func (s *Site) openSupplies(panel *fault.Panel) {
	for _, spec := range s.spec.Supplies {
		number := s.plan.supplies[spec.Name]
		s.flow(spec.Name, "flow", func() float64 { return clean(s.solver.Inflow(number)) })
		s.pressure(spec.Name, s.plan.nodes[spec.Name])
		factor := new(float64)
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "supply", Name: "pressure factor", Max: 1.5, Rest: 1, Join: fault.Multiply}, factor, func() {
			s.solver.SetStatic(number, head(spec.Static.SI)*(*factor)+spec.Height.SI)
			s.jump = true
		})
	}
}

// openPipes declares the pressure behind everything that loses some.
func (s *Site) openPipes() {
	for _, x := range s.spec.Pipes {
		s.pressure(x.Name, s.plan.nodes[x.Name])
	}
	for _, x := range s.spec.Filters {
		s.pressure(x.Name, s.plan.nodes[x.Name])
	}
	for _, x := range s.spec.Regulators {
		s.pressure(x.Name, s.plan.nodes[x.Name])
	}
}

// openOutlets declares what leaves the pipes, and the pressure it leaves with.
func (s *Site) openOutlets() {
	declare := func(name string, node water.Node) {
		outlets := s.plan.outlets[name]
		s.flow(name, "flow", func() float64 {
			sum := 0.0
			for _, o := range outlets {
				sum += s.solver.Outflow(o)
			}
			return clean(sum)
		})
		s.pressure(name, node)
	}
	for _, x := range s.spec.Outlets {
		declare(x.Name, s.plan.nodes[x.From])
	}
	for _, x := range s.spec.Laterals {
		declare(x.Name, s.plan.nodes[x.Name])
	}
}
