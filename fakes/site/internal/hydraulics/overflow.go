package hydraulics

import (
	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// openOverflows declares what runs over the rim and away by standpipe and weir.
func (t *Tank) openOverflows() {
	s, name := t.step, signal.Tank(t.spec.Name)
	s.lostVolume(name.Spilled(), s.Flow(name.Spill(), s.out(s.plan.Rims[t.spec.Name])))
	var ways []water.Outlet
	way := func(outlet water.Outlet, knob string, crest float64, open *float64) {
		ways = append(ways, outlet)
		t.mark(crest)
		s.Offer(fault.Knob{Device: t.spec.Name, Kind: "tank", Name: knob, Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Multiply}, open, func(signal.Time) {
			s.solver.SetOpen(outlet, Passable(*open))
			s.jump = true
		})
	}
	if pipe, ok := s.plan.Standpipes[t.spec.Name]; ok {
		way(pipe, "standpipe", t.spec.Standpipe.Crest.SI, &t.standpipe)
	}
	if notch, ok := s.plan.Weirs[t.spec.Name]; ok {
		way(notch, "weir", t.spec.Weir.Crest.SI, &t.weir)
	}
	if ways != nil {
		s.lostVolume(name.Overflowed(), s.Flow(name.Overflow(), s.out(ways...)))
	}
}

// openLeak declares what runs out of a tank through a hole, flow = Cd area sqrt(2 g h) with the water's height h above it
// (Torricelli 1643), and offers its area and height. One hole stands for all: they are as high as the highest.
func (t *Tank) openLeak() {
	s, name, outlet := t.step, signal.Tank(t.spec.Name), t.step.plan.Leaks[t.spec.Name]
	s.lostVolume(name.Leaked(), s.Flow(name.Leak(), s.out(outlet)))
	offer := s.Knobs(t.spec.Name, "tank", func(signal.Time) {
		s.solver.SetHeight(outlet, t.holeAt)
		area := t.hole
		if area < tight {
			area = 0
		}
		s.solver.SetCoefficient(outlet, pipework.HoleFlow(area))
		s.jump = true
	})
	offer(fault.Knob{Name: "hole", Dim: quantity.Area, Max: 0.01, Join: fault.Add}, &t.hole)
	offer(fault.Knob{Name: "hole height", Dim: quantity.Length, Max: 20, Join: fault.Largest}, &t.holeAt)
}

// tight is the area of a hole that lets no water through, m²: a hundredth of a millimetre across (common practice, no
// source).
const tight = 1e-10
