package site

import (
	"math"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// meter closes its contact for the second half of every pulse volume, whichever way the water runs: an impeller turns
// either way and its magnet passes the reed (common practice, no source).
type meter struct {
	spec     sitefile.Meter
	terminal int
	total    *total
	halves   int64 // half pulse volumes that have passed
	edge     signal.Time
	closedID signal.ID
}

func (s *Site) openMeters() {
	for _, spec := range s.spec.Meters {
		link := s.plan.Links[spec.Name]
		m := &meter{spec: spec, terminal: s.terminal(spec.Name), closedID: s.held(spec.Name, "closed")}
		passes := s.through(link)
		m.total = s.volume(spec.Name, "volume", s.flow(spec.Name, "flow", func() float64 { return math.Abs(passes()) }), false)
		s.meters = append(s.meters, m)
		s.put(0, m.closedID, 0)
	}
}

// aim finds the next edge within the present step.
func (m *meter) aim(s *Site, from signal.Time) {
	m.edge = signal.Never
	want := float64(m.halves+1) * m.spec.PerPulse.SI / 2
	if m.total.at(1, s.dt) < want {
		return
	}
	past := func(t signal.Time) bool { return m.total.at(s.share(t), s.dt) >= want }
	if past(from) {
		m.edge = from
		return
	}
	guess := s.t0 + signal.FromSeconds(reaches(want-m.total.sum, m.total.flow.start, m.total.flow.end, s.dt))
	m.edge = firstPast(from, s.t1, guess, past)
}

// pass makes the edges that are due.
func (m *meter) pass(s *Site, at signal.Time) {
	for m.edge <= at {
		m.halves++
		closed := m.halves%2 == 1
		s.put(m.edge, m.closedID, state(closed))
		if m.terminal >= 0 {
			pin := harness.Open(m.edge, m.terminal)
			if closed {
				pin.Ohms = 1
			}
			s.pins = append(s.pins, pin)
		}
		m.aim(s, m.edge)
	}
}
