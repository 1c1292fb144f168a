package site

import (
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
)

// openPipes declares the pressure behind everything that loses some, and offers what may befall it.
func (s *Site) openPipes(panel *fault.Panel) {
	behind := func(name string) {
		s.pressure(name, s.plan.Nodes[name], s.through(s.plan.Links[name]))
	}
	for _, x := range s.spec.Pipes {
		behind(x.Name)
		s.offerHole(panel, x.Name, "pipe")
	}
	for _, x := range s.spec.Filters {
		behind(x.Name)
	}
	for _, x := range s.spec.Regulators {
		behind(x.Name)
	}
	for _, x := range s.spec.Throttles {
		behind(x.Name)
		link, set := s.plan.Links[x.Name], new(float64)
		s.offer(panel, fault.Knob{Device: x.Name, Kind: "throttle", Name: "set", Dim: quantity.Fraction, Max: 1, Rest: x.Set.SI}, set, func() {
			s.solver.SetKv(link, x.Capacity.SI*passable(*set))
			s.jump = true
		})
	}
	for _, x := range s.spec.NonReturnValves {
		s.offerLeakBack(panel, x.Name, "non-return valve", x.Capacity.SI)
	}
	for _, x := range s.spec.BackflowPreventers {
		s.offerLeakBack(panel, x.Name, "backflow preventer", x.Capacity.SI)
	}
}

// offerLeakBack offers the share of a one-way valve's passage that no longer shuts. Water goes either way through it.
func (s *Site) offerLeakBack(panel *fault.Panel, device, kind string, kv float64) {
	link, back, open := s.plan.Links[device], s.plan.LeakBacks[device], new(float64)
	s.offer(panel, fault.Knob{Device: device, Kind: kind, Name: "leak-back", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, open, func() {
		s.solver.SetKv(link, kv*passable(1-*open))
		s.solver.SetKv(back, kv*passable(*open))
		s.jump = true
	})
}

// openOutlets declares what leaves the pipes, and the pressure it leaves with.
func (s *Site) openOutlets(panel *fault.Panel) {
	declare := func(name, kind string, node water.Node) {
		flow := s.from(s.plan.Outlets[name]...)
		s.flow(name, "flow", flow)
		s.pressure(name, node, flow)
		passage := new(float64)
		s.offer(panel, fault.Knob{Device: name, Kind: kind, Name: "passage", Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Multiply}, passage, func() {
			for _, o := range s.plan.Outlets[name] {
				s.solver.SetCoefficient(o, s.plan.Coefficients[name]*passable(*passage))
			}
			s.jump = true
		})
	}
	for _, x := range s.spec.Outlets {
		declare(x.Name, "outlet", s.plan.Nodes[x.From])
		s.watchPressure(x)
	}
	for _, x := range s.spec.Laterals {
		declare(x.Name, "lateral", s.plan.Nodes[x.Name])
		s.offerHole(panel, x.Name, "lateral")
	}
}
