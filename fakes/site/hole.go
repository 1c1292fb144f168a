package site

import (
	"ullage/fakes/pipework"
	"ullage/harness/fault"
	"ullage/harness/quantity"
)

// widestHole is wider than any pipe: what is as wide as that has come off, and what it fed gets nothing. Not modelled: what
// then runs back out of that part.
const widestHole = 2 // m

// offerHole offers the knob that lets water out of a pipe or a drip line, and declares what gets out. As long as there is
// no hole it costs nothing: its flow joins those that are read only when it is made.
func (s *Site) offerHole(panel *fault.Panel, device, kind string) {
	hole := s.plan.Holes[device]
	flow := newCurve(s.record, device, "leak", quantity.Flow)
	flow.reach, flow.tolerance, flow.read = leastFlow, flowTolerance, s.from(hole.Outlet)
	leaked := &total{flow: &flow, lost: true, curve: newCurve(s.record, device, "leaked", quantity.Volume)}
	flow.to(0, 0)
	leaked.curve.to(0, 0)
	diameter, made, off := new(float64), false, false
	s.offer(panel, fault.Knob{Device: device, Kind: kind, Name: "hole", Dim: quantity.Length, Max: widestHole, Join: fault.Largest}, diameter, func() {
		if !made {
			made = true
			s.curves, s.totals = append(s.curves, &flow), append(s.totals, leaked)
			flow.to(s.now, 0) // nothing has got out until now
			leaked.curve.to(s.now, 0)
		}
		coefficient := hole.Coefficient(*diameter)
		s.solver.SetCoefficient(hole.Outlet, coefficient)
		if hole.Way != 0 {
			way := 0.0
			if coefficient > 0 {
				way = pipework.WideOpen
			}
			s.solver.SetKv(hole.Way, way)
		}
		if link, comes := s.plan.Links[device], *diameter >= widestHole; kind == "pipe" && comes != off {
			off = comes
			s.solver.SetOff(link, hole.Outlet, off)
		}
		s.jump = true
	})
}
