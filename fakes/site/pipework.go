package site

import (
	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
)

// openSupplies declares the mains and offers their pressure.
func (s *Site) openSupplies(panel *fault.Panel) {
	for _, spec := range s.spec.Supplies {
		number := s.plan.Supplies[spec.Name]
		flow := func() float64 { return clean(s.solver.Inflow(number)) }
		s.flow(spec.Name, "flow", flow)
		s.pressure(spec.Name, s.plan.Nodes[spec.Name], nil)
		s.openReturns(spec.Name, flow)
		factor, suction := new(float64), new(float64)
		set := func() {
			static := spec.Static.SI * *factor
			if *suction > 0 {
				static = -*suction
			}
			s.solver.SetStatic(number, pipework.Head(static)+spec.Height.SI)
			s.jump = true
		}
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "supply", Name: "pressure factor", Max: 1.5, Rest: 1, Join: fault.Multiply}, factor, set)
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "supply", Name: "suction", Dim: quantity.Pressure, Max: 0.9e5, Join: fault.Largest}, suction, set)
	}
}

// openPipes declares the pressure behind everything that loses some.
func (s *Site) openPipes() {
	behind := func(name string) {
		s.pressure(name, s.plan.Nodes[name], s.through(s.plan.Links[name]))
	}
	for _, x := range s.spec.Pipes {
		behind(x.Name)
	}
	for _, x := range s.spec.Filters {
		behind(x.Name)
	}
	for _, x := range s.spec.Regulators {
		behind(x.Name)
	}
}

// openOutlets declares what leaves the pipes, and the pressure it leaves with.
func (s *Site) openOutlets() {
	declare := func(name string, node water.Node) {
		flow := s.from(s.plan.Outlets[name]...)
		if dip, ok := s.plan.Dips[name]; ok {
			inAir := flow
			flow = func() float64 { return inAir() + clean(s.solver.Flow(dip.Link)) }
		}
		s.flow(name, "flow", flow)
		s.pressure(name, node, flow)
	}
	for _, x := range s.spec.Outlets {
		declare(x.Name, s.plan.Nodes[x.From])
	}
	for _, x := range s.spec.Laterals {
		declare(x.Name, s.plan.Nodes[x.Name])
	}
}
