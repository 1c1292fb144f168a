package hydraulics

import (
	"ullage/fakes/pipework"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// openOverflows declares what runs over the rim of a tank and away by its overflows, and returns their crests. It offers
// the share of each that is open, and what the drain takes that their pipes lead to.
func openOverflows(s *Step, spec sitefile.Tank) (crests []float64) {
	name, ways := signal.Tank(spec.Name), s.plan.Overflows[spec.Name]
	s.lostVolume(name.Spilled(), s.Flow(name.Spill(), s.out(s.plan.Rims[spec.Name])))
	drain, sets := new(float64), []func(){}
	offer := func(knob fault.Knob, value *float64, set func()) {
		knob.Device, knob.Kind = spec.Name, "tank"
		s.Offer(knob, value, func(signal.Time) {
			set()
			s.jump = true
		})
	}
	drained := false
	for _, way := range ways {
		crests, drained = append(crests, way.Crest), drained || way.Drains
		open := new(float64)
		set := func() {
			takes := way.Takes
			if way.Drains {
				takes = min(takes, *drain)
			}
			way.Set(s.solver, passable(*open), takes)
		}
		sets = append(sets, set)
		offer(fault.Knob{Name: way.Kind, Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Multiply}, open, set)
	}
	if drained {
		offer(fault.Knob{Name: "drain", Dim: quantity.Flow, Max: pipework.AnyFlow, Rest: pipework.AnyFlow,
			Join: fault.Smallest}, drain, func() {
			for _, set := range sets {
				set()
			}
		})
	}
	if ways != nil {
		s.lostVolume(name.Overflowed(), s.Flow(name.Overflow(), s.out(pipework.Outlets(ways)...)))
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
