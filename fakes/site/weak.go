package site

import (
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// sprinkler is an outlet that needs a pressure to water as it should. It is weak while water leaves it with less.
type sprinkler struct {
	flow, pressure *curve
	needs          float64 // Pa
	weak           bool
	turns          signal.Time // when the pressure passes what it needs; Never in the present step
	weakID         signal.ID
}

// watchPressure declares whether an outlet is weak, if it needs a pressure. Its flow and pressure were declared just before.
func (s *Site) watchPressure(x sitefile.Outlet) {
	if !x.WorksAbove.IsSet() {
		return
	}
	w := &sprinkler{flow: s.flows[x.Name], pressure: s.curves[len(s.curves)-1], needs: x.WorksAbove.SI,
		turns: signal.Never, weakID: s.held(x.Name, "weak")}
	s.sprinklers = append(s.sprinklers, w)
	s.put(0, w.weakID, 0)
}

// aim finds out whether it is weak as the step begins, and when in the step that changes. Flow begins and ends at a
// pressure of nothing, with the first and the last of its steps.
func (w *sprinkler) aim(s *Site, at signal.Time) {
	runs := w.flow.start != 0 || w.flow.end != 0
	below := func(t signal.Time) bool { return w.pressure.at(s.share(t)) < w.needs }
	w.become(s, at, runs && below(at))
	w.turns = signal.Never
	if runs && below(at) != below(s.t1) {
		began := below(at)
		w.turns = firstPast(at, s.t1, at, func(t signal.Time) bool { return below(t) != began })
	}
}

// pass makes the change that is due.
func (w *sprinkler) pass(s *Site, at signal.Time) {
	if w.turns <= at {
		w.become(s, w.turns, !w.weak)
		w.turns = signal.Never
	}
}

func (w *sprinkler) become(s *Site, at signal.Time, weak bool) {
	if weak != w.weak {
		w.weak = weak
		s.put(at, w.weakID, state(weak))
	}
}
