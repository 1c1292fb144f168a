package hydraulics

import (
	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// openOverflows declares what runs over the rim of a tank and away by standpipe and weir, and returns their crests.
func openOverflows(s *Step, spec sitefile.Tank) (crests []float64) {
	name := signal.Tank(spec.Name)
	s.lostVolume(name.Spilled(), s.Flow(name.Spill(), s.out(s.plan.Rims[spec.Name])))
	var ways []water.Outlet
	way := func(outlet water.Outlet, knob string, crest float64) {
		ways, crests = append(ways, outlet), append(crests, crest)
		open := new(float64)
		s.Offer(fault.Knob{Device: spec.Name, Kind: "tank", Name: knob, Dim: quantity.Fraction, Max: 1, Rest: 1,
			Join: fault.Multiply}, open, func(signal.Time) {
			s.solver.SetOpen(outlet, passable(*open))
			s.jump = true
		})
	}
	if pipe, ok := s.plan.Standpipes[spec.Name]; ok {
		way(pipe, "standpipe", spec.Standpipe.Crest.SI)
	}
	if notch, ok := s.plan.Weirs[spec.Name]; ok {
		way(notch, "weir", spec.Weir.Crest.SI)
	}
	if ways != nil {
		s.lostVolume(name.Overflowed(), s.Flow(name.Overflow(), s.out(ways...)))
	}
	return crests
}

// openLeak declares what runs out of a tank through a hole, flow = Cd area sqrt(2 g h) with the water's height h above
// it (Torricelli 1643), and offers its area and height. One hole stands for all: they are as high as the highest.
func openLeak(s *Step, spec sitefile.Tank) {
	name, outlet := signal.Tank(spec.Name), s.plan.Leaks[spec.Name]
	hole, height := new(float64), new(float64)
	s.lostVolume(name.Leaked(), s.Flow(name.Leak(), s.out(outlet)))
	offer := s.Knobs(spec.Name, "tank", func(signal.Time) {
		s.solver.SetHeight(outlet, *height)
		area := *hole
		if area < tight {
			area = 0
		}
		s.solver.SetCoefficient(outlet, pipework.HoleFlow(area))
		s.jump = true
	})
	offer(fault.Knob{Name: "hole", Dim: quantity.Area, Max: 0.01, Join: fault.Add}, hole)
	offer(fault.Knob{Name: "hole height", Dim: quantity.Length, Max: 20, Join: fault.Largest}, height)
}

// tight is the area of a hole that lets no water through, m²: a hundredth of a millimetre across (common practice, no
// source).
const tight = 1e-10
