package site

import (
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// daily is what is taken from a tank at the same time every day.
type daily struct {
	from, to signal.Time // since midnight; from after to is over midnight
	flow     float64     // m³/s
}

// openDraws declares what is taken from a tank, and what of it goes by the time of day.
func (s *Site) openDraws(t *tank) {
	for _, d := range t.spec.Draws {
		from, _ := sitefile.TimeOfDay(d.From) // the rules of the site file have read them
		to, _ := sitefile.TimeOfDay(d.To)
		t.daily = append(t.daily, daily{from: from, to: to, flow: d.Flow.SI})
	}
	s.flow(t.spec.Name, "draw", func() float64 { return t.taken(s.inflow(t)) })
	if t.daily != nil {
		s.drawOn(t, 0)
	}
}

// timeOfDay is the time since midnight at a moment of the run: the site's clocks are right, and a run begins when the
// controller's settings say that it does.
func (s *Site) timeOfDay(at signal.Time) signal.Time {
	_, begins, _ := sitefile.Clock(s.spec.Controller.Settings.Clock)
	return (begins + at) % signal.Day
}

// drawOn takes from a tank what is due at a moment, and tells whether that is something else than before.
func (s *Site) drawOn(t *tank, at signal.Time) (changed bool) {
	clock, flow := s.timeOfDay(at), 0.0
	next := signal.Day
	for _, d := range t.daily {
		if d.due(clock) {
			flow += d.flow
		}
		for _, edge := range [...]signal.Time{d.from, d.to} {
			if wait := (edge - clock + signal.Day) % signal.Day; wait > 0 {
				next = min(next, wait)
			}
		}
	}
	changed = flow != t.routine
	t.routine, t.changes = flow, at+next
	return changed
}

// due tells whether it is the time of day for it.
func (d daily) due(clock signal.Time) bool {
	if d.from < d.to {
		return clock >= d.from && clock < d.to
	}
	return clock >= d.from || clock < d.to
}
