package hydraulics

import (
	"ullage/fakes/pipework"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// openPipe declares the pressure behind a pipe, and offers to break it and to freeze it shut.
func openPipe(s *Step, spec sitefile.Pipe) {
	openBehind(s, spec.Name)
	openHole(s, spec.Name, "pipe")
	link, ice := s.plan.Links[spec.Name], new(float64)
	s.Offer(fault.Knob{Device: spec.Name, Kind: "pipe", Name: "ice", Dim: quantity.State, Max: 1, Join: fault.Largest},
		ice, func(signal.Time) {
			s.solver.SetBlocked(link, *ice > 0)
			s.jump = true
		})
}

// openBehind declares the pressure behind a part that loses some.
func openBehind(s *Step, name string) {
	s.pressure(signal.Part(name).Pressure(), s.plan.Nodes[name], s.Through(s.plan.Links[name]))
}

// openThrottle declares the pressure behind a throttle, and offers to turn it.
func openThrottle(s *Step, spec sitefile.Throttle) {
	openBehind(s, spec.Name)
	link, set := s.plan.Links[spec.Name], new(float64)
	s.Offer(fault.Knob{Device: spec.Name, Kind: "throttle", Name: "set", Dim: quantity.Fraction, Max: 1,
		Rest: spec.Set.SI}, set, func(signal.Time) {
		s.solver.SetKv(link, spec.Capacity.SI*passable(*set))
		s.jump = true
	})
}

// openCheck offers the knob of what is to keep water from running back, a non-return valve or backflow preventer: the
// share of its capacity with which it is held open.
func openCheck(s *Step, name, kind string, capacity float64) {
	link, bypass, share := s.plan.Links[name], s.plan.Bypasses[name], new(float64)
	s.Offer(fault.Knob{Device: name, Kind: kind, Name: "held open", Dim: quantity.Fraction, Max: 1,
		Join: fault.Largest}, share, func(signal.Time) {
		held := passable(*share)
		s.solver.SetKv(link, capacity*(1-held)) // forwards both together pass what it passes sound
		s.solver.SetKv(bypass, capacity*held)
		s.jump = true
	})
}

// widestHole is wider than any pipe: what is as wide as that has come off, and what it fed gets nothing. Not modelled:
// what then runs back out of that part.
const widestHole = 2 // m

// openHole offers the knob that lets water out of a pipe or a drip line, and declares what gets out. As long as there
// is no hole it costs nothing: its flow joins those that are read only when it is made.
func openHole(s *Step, device, kind string) {
	hole, name := s.plan.Holes[device], signal.Part(device)
	flow := s.flowLine(name.Leak(), s.out(hole.Outlet))
	leaked := s.Total(name.Leaked(), flow)
	flow.To(0, 0)
	diameter, made, off := new(float64), false, false
	s.Offer(fault.Knob{Device: device, Kind: kind, Name: "hole", Dim: quantity.Length, Max: widestHole,
		Join: fault.Largest}, diameter, func(at signal.Time) {
		if !made {
			made = true
			s.lines, s.totals = append(s.lines, flow), append(s.totals, leaked)
			s.losses.totals = append(s.losses.totals, leaked)
			flow.To(at, 0) // nothing has got out until now
			leaked.To(at)
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
