package hydraulics

import (
	"ullage/fakes/site/internal/device"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// openOutlet declares what leaves the pipes by an outlet, and whether that is less than the outlet needs.
func openOutlet(s *Step, spec sitefile.Outlet) *sprinkler {
	flow, pressure := openOpenings(s, spec.Name, "outlet", s.plan.Nodes[spec.From])
	if !spec.WorksAbove.IsSet() {
		return nil
	}
	return openSprinkler(s, spec, flow, pressure)
}

// openLateral declares what leaves the pipes by a drip line.
func openLateral(s *Step, spec sitefile.Lateral) {
	openOpenings(s, spec.Name, "lateral", s.plan.Nodes[spec.Name])
	openHole(s, spec.Name, "lateral")
}

// openOpenings declares what leaves the pipes by the openings of an outlet or a drip line and the pressure it leaves
// with, and offers to clog them, unless they are an open pipe end that dips into a tank.
func openOpenings(s *Step, name, kind string, node water.Node) (flow, pressure *device.Line) {
	leaves := s.out(s.plan.Outlets[name]...)
	dip, dips := s.plan.Dips[name]
	if dips {
		inAir := leaves
		leaves = func() float64 { return inAir() + withoutRounding(s.solver.Flow(dip.Link)) }
	}
	flow = s.Flow(signal.Part(name).Flow(), leaves)
	pressure = s.pressure(signal.Part(name).Pressure(), node, leaves)
	if dips {
		return flow, pressure
	}
	passage := new(float64)
	s.Offer(fault.Knob{Device: name, Kind: kind, Name: "passage", Dim: quantity.Fraction, Max: 1, Rest: 1,
		Join: fault.Multiply}, passage, func(signal.Time) {
		for _, o := range s.plan.Outlets[name] {
			s.solver.SetCoefficient(o, s.plan.Coefficients[name]*passable(*passage))
		}
		s.jump = true
	})
	return flow, pressure
}

// sprinkler is an outlet that needs a pressure to water as it should. It is weak while water leaves it with less.
type sprinkler struct {
	step           *Step
	flow, pressure *device.Line
	needs          float64 // Pa
	weak           bool
	turns          signal.Time // when the pressure passes what it needs; Never in the present step
	weakID         signal.ID
}

func openSprinkler(s *Step, spec sitefile.Outlet, flow, pressure *device.Line) *sprinkler {
	w := &sprinkler{step: s, flow: flow, pressure: pressure, needs: spec.WorksAbove.SI, turns: signal.Never,
		weakID: s.Declare(signal.Outlet(spec.Name).Weak())}
	s.Add(w)
	s.Put(0, w.weakID, 0)
	return w
}

// Follow finds out whether it is weak as the step begins, and when in the step that changes. Flow begins and ends at a
// pressure of nothing, with the first and the last of its steps.
func (w *sprinkler) Follow(at signal.Time) {
	runs := w.flow.Runs()
	below := func(t signal.Time) bool { return w.pressure.At(w.step.Share(t)) < w.needs }
	w.become(at, runs && below(at))
	w.turns = signal.Never
	if runs && below(at) != below(w.step.t1) {
		began := below(at)
		w.turns = device.FirstPast(at, w.step.t1, at, func(t signal.Time) bool { return below(t) != began })
	}
}

// pass makes the change that is due.
func (w *sprinkler) pass(at signal.Time) {
	if w.turns <= at {
		w.become(w.turns, !w.weak)
		w.turns = signal.Never
	}
}

func (w *sprinkler) become(at signal.Time, weak bool) {
	if weak != w.weak {
		w.weak = weak
		w.step.PutState(at, w.weakID, weak)
	}
}
