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
		s.offerIce(panel, x.Name)
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
}

// openOutlets declares what leaves the pipes, and the pressure it leaves with.
func (s *Site) openOutlets(panel *fault.Panel) {
	declare := func(name, kind string, node water.Node) {
		flow := s.from(s.plan.Outlets[name]...)
		if dip, ok := s.plan.Dips[name]; ok {
			inAir := flow
			flow = func() float64 { return inAir() + clean(s.solver.Flow(dip.Link)) }
		}
		s.flow(name, "flow", flow)
		s.pressure(name, node, flow)
		if _, dips := s.plan.Dips[name]; dips { // an open pipe end, which does not clog
			return
		}
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
