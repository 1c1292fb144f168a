package site

import (
	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// mains is a supply whose pressure may change with the time of day: in steps, or evenly over a time.
type mains struct {
	spec   sitefile.Supply
	number water.Supply
	clock  signal.Time   // time of day at which the run begins
	times  []signal.Time // of day, of the daily changes

	factor   float64 // knob
	suction  float64 // knob: Pa by which it draws; 0 does not
	surge    float64 // knob: Pa by which it is higher
	from, to float64 // share of the static pressure at the two ends of the present stretch
	since    signal.Time
	until    signal.Time // end of the stretch: the next change begins, or the present one is over
	set      float64     // m, head at rest that the solver has
}

// openSupplies declares the mains and offers their pressure.
func (s *Site) openSupplies(panel *fault.Panel) {
	for _, spec := range s.spec.Supplies {
		m := &mains{spec: spec, number: s.plan.Supplies[spec.Name], factor: 1, from: 1, to: 1, until: signal.Never}
		m.set = m.head(0)
		if len(spec.Daily) > 0 {
			_, m.clock, _ = sitefile.Clock(s.spec.Controller.Settings.Clock)
			for _, d := range spec.Daily {
				at, _ := sitefile.TimeOfDay(d.From)
				m.times = append(m.times, at)
			}
			m.begin(0)
		}
		s.mains = append(s.mains, m)
		flow := func() float64 { return clean(s.solver.Inflow(m.number)) }
		s.flow(spec.Name, "flow", flow)
		s.pressure(spec.Name, s.plan.Nodes[spec.Name], nil)
		s.openReturns(spec.Name, flow)
		jumps := func() { s.jump = true }
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "supply", Name: "pressure factor", Max: 1.5, Rest: 1, Join: fault.Multiply}, &m.factor, jumps)
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "supply", Name: "suction", Dim: quantity.Pressure, Max: 0.9e5, Join: fault.Largest}, &m.suction, jumps)
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "supply", Name: "surge", Dim: quantity.Pressure, Max: 20e5, Join: fault.Add}, &m.surge, jumps)
	}
}

// begin finds the stretch that a moment lies in: a change that is under way, or the time from one to the next.
func (m *mains) begin(at signal.Time) {
	last := len(m.times) - 1
	now := (m.clock + at) % signal.Day
	i := last
	for i >= 0 && m.times[i] > now {
		i--
	}
	next := m.times[0] + signal.Day
	if i < 0 { // yesterday's last one still holds
		i, now = last, now+signal.Day
	} else if i < last {
		next = m.times[i+1]
	}
	before, entry, into := m.spec.Daily[(i+last)%(last+1)], m.spec.Daily[i], now-m.times[i]
	over := signal.FromSeconds(entry.Over.SI)
	m.to = entry.Share.SI
	if into < over {
		m.from, m.since, m.until = before.Share.SI, at-into, at-into+over
		return
	}
	m.from, m.since, m.until = m.to, at, at-now+next
}

// pass goes on to the next stretch when a moment has come to it, and tells whether it did.
func (m *mains) pass(at signal.Time) (changed bool) {
	if at < m.until {
		return false
	}
	m.begin(at)
	return true
}

// head is that at rest at a moment of the present stretch, m above the site's datum.
func (m *mains) head(at signal.Time) float64 {
	if m.suction > 0 {
		return m.spec.Height.SI - pipework.Head(m.suction)
	}
	share := m.to
	if m.from != m.to {
		share = m.from + float64((m.to-m.from)*((at-m.since).Seconds()/(m.until-m.since).Seconds()))
	}
	return float64(pipework.Head(m.spec.Static.SI)*float64(m.factor*share)) + m.spec.Height.SI + pipework.Head(m.surge)
}

// drained tells whether it is off at a moment: empty, and open to the air.
func (m *mains) drained(at signal.Time) bool { return m.suction == 0 && m.head(at) == m.spec.Height.SI }

// arrange sets everything that goes on changing by itself as it is at a moment: discs, mains, filters.
func (s *Site) arrange(at signal.Time) {
	s.position(at)
	for _, m := range s.mains {
		if head := m.head(at); head != m.set {
			m.set = head
			s.solver.SetStatic(m.number, head)
			s.solver.SetDrained(m.number, m.drained(at))
		}
	}
	for _, f := range s.filters {
		f.set(s, (at - s.t0).Seconds())
	}
}
