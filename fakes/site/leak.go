package site

import (
	"ullage/fakes/pipework"
	"ullage/harness/fault"
	"ullage/harness/quantity"
)

// openLeak declares what runs out of a tank through a hole, flow = Cd area sqrt(2 g h) with the water's height h above it
// (Torricelli 1643), and offers its area and height. One hole stands for all: they are as high as the highest.
func (s *Site) openLeak(t *tank, panel *fault.Panel) {
	name, outlet := t.spec.Name, s.plan.Leaks[t.spec.Name]
	s.volume(name, "leaked", s.flow(name, "leak", s.from(outlet)), true)
	knob := func(k fault.Knob, value *float64) {
		k.Device, k.Kind = name, "tank"
		s.offer(panel, k, value, func() {
			s.solver.SetHeight(outlet, t.holeAt)
			area := t.hole
			if area < tight {
				area = 0
			}
			s.solver.SetCoefficient(outlet, pipework.HoleFlow(area))
			s.jump = true
		})
	}
	knob(fault.Knob{Name: "hole", Dim: quantity.Area, Max: 0.01, Join: fault.Add}, &t.hole)
	knob(fault.Knob{Name: "hole height", Dim: quantity.Length, Max: 20, Join: fault.Largest}, &t.holeAt)
}

// tight is the area of a hole that lets no water through, m²: a hundredth of a millimetre across (common practice, no
// source).
const tight = 1e-10
