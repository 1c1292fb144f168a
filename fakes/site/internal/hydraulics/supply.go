package hydraulics

import (
	"math"
	"slices"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// supply is a water supply whose pressure may change with the time of day: in steps, or evenly over a time.
type supply struct {
	step   *Step
	spec   sitefile.Supply
	number water.Supply
	clock  signal.Time   // time of day at which the run begins
	times  []signal.Time // of day, of the daily changes

	factor   float64 // knob: of its pressure
	suction  float64 // knob: Pa by which it draws; 0 does not
	surge    float64 // knob: Pa by which it is higher
	from, to float64 // share of the static pressure at the two ends of the present stretch
	since    signal.Time
	until    signal.Time // end of the stretch: the next change begins, or the present one is over
	head     float64     // m, head at rest that the solver has
}

// openSupply declares a supply and offers its pressure.
func openSupply(s *Step, spec sitefile.Supply) *supply {
	m := &supply{step: s, spec: spec, number: s.plan.Supplies[spec.Name], factor: 1, from: 1, to: 1,
		until: signal.Never}
	m.head = m.atRest(0)
	if len(spec.Daily) > 0 {
		_, m.clock, _ = sitefile.Clock(s.Spec.Controller.Settings.Clock)
		for _, d := range spec.Daily {
			at, _ := sitefile.TimeOfDay(d.From)
			m.times = append(m.times, at)
		}
		m.begin(0)
	}
	s.Add(m)
	name := signal.Supply(spec.Name)
	flow := func() float64 { return withoutRounding(s.solver.Inflow(m.number)) }
	s.Flow(name.Flow(), flow)
	s.pressure(name.Pressure(), s.plan.Nodes[spec.Name], nil)
	openReturns(s, spec.Name, flow)
	offer := s.Knobs(spec.Name, "supply", func(signal.Time) {
		s.jump, s.calm = true, true // as slowly as valves in the street are turned
	})
	offer(fault.Knob{Name: "pressure factor", Max: 1.5, Rest: 1, Join: fault.Multiply}, &m.factor)
	offer(fault.Knob{Name: "suction", Dim: quantity.Pressure, Max: 0.9e5, Join: fault.Largest}, &m.suction)
	offer = s.Knobs(spec.Name, "supply", func(at signal.Time) {
		s.streetSurges(m, at)
		s.jump = true
	})
	offer(fault.Knob{Name: "surge", Dim: quantity.Pressure, Max: 20e5, Join: fault.Add}, &m.surge)
	return m
}

// openReturns declares what runs back into a supply: in all, and as far as water of a fluid category is drawn out of
// tanks meanwhile into the pipes of the supply, and none worse. What comes back first is what stood in the pipes; how
// far the tank's water has come behind it is not followed.
func openReturns(s *Step, supply string, flow func() float64) {
	name := signal.Supply(supply)
	back := func() float64 { return math.Max(0, -flow()) }
	s.Volume(name.Returned(), s.Flow(name.Return(), back))
	joined := s.Spec.JoinedWith(supply)
	worst := func() (category int) {
		for i := range s.Spec.Tanks {
			if t := &s.Spec.Tanks[i]; t.Category > category && s.givesBack(t.Name, joined) {
				category = t.Category
			}
		}
		return category
	}
	for _, category := range s.Spec.CategoriesBehind(supply) {
		kind := sitefile.CategoryName(category)
		s.Volume(name.ReturnedOf(kind), s.Flow(name.ReturnOf(kind), func() float64 {
			if amount := back(); amount > 0 && worst() == category {
				return amount
			}
			return 0
		}))
	}
}

// givesBack reports whether pipes that are fed from these supplies and tanks, or joined with them, draw water out of a
// tank.
func (s *Step) givesBack(tank string, joined []string) bool {
	for _, m := range s.plan.Mouths[tank] {
		out := s.solver.Flow(m.Link)
		if m.Inward {
			out = -out
		}
		if out > rounding && slices.Contains(joined, m.Source) {
			return true
		}
	}
	return false
}

// begin finds the stretch that a moment lies in: a change that is under way, or the time from one to the next.
func (m *supply) begin(at signal.Time) {
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

// change goes on to the next stretch when a moment has come to it.
func (m *supply) change(at signal.Time) (jump bool) {
	if at < m.until {
		return false
	}
	m.begin(at)
	return true
}

func (m *supply) ends() signal.Time { return m.until }

// atRest is the head at rest at a moment of the present stretch, m above the site's datum.
func (m *supply) atRest(at signal.Time) float64 {
	if m.suction > 0 {
		return m.spec.Height.SI - pipework.Head(m.suction)
	}
	share := m.to
	if m.from != m.to {
		share = m.from + float64((m.to-m.from)*((at-m.since).Seconds()/(m.until-m.since).Seconds()))
	}
	return float64(pipework.Head(m.spec.Static.SI)*float64(m.factor*share)) + m.spec.Height.SI + pipework.Head(m.surge)
}

// drained reports whether it is off at a moment: empty, and open to the air.
func (m *supply) drained(at signal.Time) bool {
	return m.suction == 0 && m.atRest(at) == m.spec.Height.SI
}

func (m *supply) set(at signal.Time) {
	if head := m.atRest(at); head != m.head {
		m.head = head
		m.step.solver.SetStatic(m.number, head)
		m.step.solver.SetDrained(m.number, m.drained(at))
	}
}

func (m *supply) still() bool { return m.from == m.to }
