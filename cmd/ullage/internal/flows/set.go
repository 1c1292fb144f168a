package flows

import (
	"math"
	"slices"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/sitefile"
)

// set computes what flows when these zones are open together.
func (m *model) set(zones []zone) (Set, error) {
	s := Set{Name: nameOf(zones), Opens: outputsOf(zones)}
	for _, z := range zones {
		s.Zones = append(s.Zones, z.name)
		for _, c := range z.calls {
			s.Rules = append(s.Rules, c.rule)
		}
	}
	m.open(s.Opens)
	if err := m.solve(m.levels); err != nil {
		return s, err
	}
	meant, wet := m.meant(), m.wet()
	for _, p := range m.order {
		if meant[p.name] || wet[p.name] {
			r := m.reading(p)
			r.meant = meant[p.name]
			s.Parts = append(s.Parts, r)
		}
	}
	s.Beds = m.application()
	s.Uniformity = m.uniformity(meant)
	return s, m.stand(&s)
}

// meant tells which parts the present set is there for: what is open, the outlets behind it, and what feeds them.
func (m *model) meant() map[string]bool {
	names := map[string]bool{}
	for _, p := range m.order {
		if slices.Contains(m.opens, p.name) || p.leaves() && m.called(p) {
			names[p.name] = true
			for _, on := range m.way(p) {
				names[on] = true
			}
		}
	}
	return names
}

// wet tells which parts water passes in the last solve, and what it comes from.
func (m *model) wet() map[string]bool {
	names := map[string]bool{}
	for _, p := range m.order {
		if q := m.through(p); flows(q) {
			names[p.name] = true
			for _, on := range m.way(p) {
				names[on] = true
			}
		}
	}
	return names
}

// called reports whether the settings mean an outlet to get water: the valve or pump nearest to it is open.
func (m *model) called(p part) bool {
	way := m.way(p)
	for i := len(way) - 1; i >= 0; i-- {
		if m.driven(way[i]) {
			return slices.Contains(m.opens, way[i])
		}
	}
	return false
}

// reading is what flows through a part in the last solve.
func (m *model) reading(p part) Part {
	node := m.plan.Nodes[p.name]
	r := Part{Name: p.name, Kind: p.kind, Flow: Flow(m.through(p))}
	if p.leaves() {
		m.readOutlet(p, &r)
		return r
	}
	r.Pressure = Pressure(m.solver.Pressure(node))
	link, ok := m.plan.Links[p.name]
	if !ok {
		return r
	}
	from := m.plan.Nodes[p.from]
	lost := Pressure((m.solver.Head(from) - m.solver.Head(node)) * pipework.PerMetre)
	if !m.solver.Isolated(node) && !m.solver.Isolated(from) && m.solver.State(link) != water.Shut {
		r.Lost = &lost
	}
	r.Rise = Length(m.plan.Heights[p.name] - m.plan.Heights[p.from])
	r.Suction = flows(float64(r.Flow)) && float64(r.Pressure) < -sucks
	switch p.kind {
	case "pipe":
		v := Velocity(math.Abs(float64(r.Flow)) / m.section(p.name))
		r.Velocity = &v
	case "regulator":
		r.Idle = m.solver.State(link) == water.Open && flows(float64(r.Flow))
	case "pump":
		m.readPump(p, &r)
	case "non-return valve", "backflow preventer":
		r.Closed = m.solver.State(link) == water.Closed
	}
	return r
}

// sucks is how far below the pressure of the air water may be drawn through a part before it is worth a word, Pa: a
// metre of water, which pumps draw as a matter of course (common practice, no source).
const sucks = 1e4

// through is the flow of a part: out of a supply, through a link, out of an outlet.
func (m *model) through(p part) float64 {
	if supply, ok := m.plan.Supplies[p.name]; ok {
		return m.solver.Inflow(supply)
	}
	if link, ok := m.plan.Links[p.name]; ok {
		return m.solver.Flow(link)
	}
	if p.kind == "tank" {
		return 0
	}
	return m.outflow(p.name)
}

// section is the cross-section of a pipe, m².
func (m *model) section(name string) float64 {
	for _, x := range m.site.Pipes {
		if x.Name == name {
			return circle(x.Bore.SI)
		}
	}
	return math.Inf(1)
}

func circle(diameter float64) float64 { return math.Pi / 4 * diameter * diameter }

func (m *model) readPump(p part, r *Part) {
	for _, x := range m.site.Pumps {
		if x.Name == p.name {
			r.Dry = slices.Contains(m.opens, p.name) && m.sucksAir(x, m.levels)
			r.Against = slices.Contains(m.opens, p.name) && !r.Dry && !governed(x) && !flows(float64(r.Flow))
			if m.switching[p.name] {
				r.Switches = &Switching{Pressure(x.PressureSwitch.CutIn.SI), Pressure(x.PressureSwitch.CutOut.SI)}
			}
			for _, c := range x.Curve {
				r.Curve = append(r.Curve, Duty{Flow(c.Flow.SI), Length(c.Head.SI)})
			}
			r.PastEnd = float64(r.Flow) > x.Curve[len(x.Curve)-1].Flow.SI
		}
	}
}

func (m *model) readOutlet(p part, r *Part) {
	list := m.plan.Outlets[p.name]
	opening := func(o water.Outlet, like int) *Opening {
		return &Opening{Flow(m.solver.Outflow(o) / float64(like)), Pressure(m.solver.Before(o))}
	}
	for _, x := range m.site.Outlets {
		if x.Name == p.name {
			r.Openings, r.First = x.Count, opening(list[0], x.Count)
		}
	}
	for _, x := range m.site.Laterals {
		if x.Name == p.name {
			r.Openings, r.First, r.Last = x.Lines*x.Emitters, opening(list[0], x.Lines), opening(list[len(list)-1],
				x.Lines)
			v := Velocity(float64(r.Flow) / float64(x.Lines) / circle(x.Bore.SI))
			r.Velocity = &v
		}
	}
	r.Outlet, r.Pressure = true, r.First.Pressure
}

// application lists how fast water falls on each bed.
func (m *model) application() []Bed {
	var list []Bed
	for _, b := range m.site.Beds {
		sum := 0.0
		for _, x := range m.site.Outlets {
			if x.Onto == b.Name {
				sum += m.outflow(x.Name)
			}
		}
		for _, x := range m.site.Laterals {
			if x.Onto == b.Name {
				sum += m.outflow(x.Name)
			}
		}
		if flows(sum) {
			list = append(list, Bed{b.Name, Depth(sum / b.Area.SI), Seconds(0.010 / (sum / b.Area.SI))})
		}
	}
	return list
}

// rated is an opening with the share of its rated flow that it gives, and how many are like it.
type rated struct {
	share float64
	like  int
}

// uniformity is that of the nozzles and emitters that are meant to give water and do; open pipe ends have no rated flow
// and do not count.
func (m *model) uniformity(meant map[string]bool) *Uniformity {
	var list []rated
	openings, most := 0, 0
	add := func(o water.Outlet, flow float64, like int) {
		list = append(list, rated{m.solver.Outflow(o) / float64(like) / flow, like})
		openings, most = openings+like, max(most, like)
	}
	for _, x := range m.site.Outlets {
		if x.Flow.SI > 0 && x.Into == "" && meant[x.Name] && flows(m.outflow(x.Name)) {
			add(m.plan.Outlets[x.Name][0], x.Flow.SI, x.Count)
		}
	}
	for _, x := range m.site.Laterals {
		if meant[x.Name] && flows(m.outflow(x.Name)) {
			for _, o := range m.plan.Outlets[x.Name] {
				add(o, x.Flow.SI, x.Lines)
			}
		}
	}
	if len(list) == 0 {
		return nil
	}
	var each []float64
	for _, r := range list { // of very many alike a thousand stand for all
		for range max(1, r.like*min(most, 1000)/most) {
			each = append(each, r.share)
		}
	}
	lower, christiansen := water.Uniformity(each)
	return &Uniformity{Share(lower), Share(christiansen), openings}
}

// runsOf lists the water of each run of a zone, each from the levels that a run of the site begins with.
func (m *model) runsOf(z zone) ([]Run, error) {
	var list []Run
	m.open(z.outputs)
	for _, c := range z.calls {
		if c.lasts == 0 {
			continue
		}
		tank, level, contact := m.guard(z.outputs)
		end, sunk, err := m.run(state{levels: m.levels}, c.lasts, tank, level)
		if err != nil {
			return nil, err
		}
		r := Run{Rule: c.rule, Lasts: Seconds(end.time), Volume: Volume(end.volume), Weekly: len(c.times)}
		if sunk {
			r.Ended = contact
		}
		list = append(list, r)
	}
	return list, nil
}

// guard is the contact of the interlock, if one of these outputs is its pump: its tank, the level at which it stops the
// pump, and its name.
func (m *model) guard(outputs []string) (tank int, level float64, contact string) {
	if lock := m.site.Controller.Settings.Interlock; lock != nil && slices.Contains(outputs, lock.Pump) {
		if c := m.contact(lock.BlockedBy); c != nil {
			return m.tank(c.In), c.Operates.SI, c.Name
		}
	}
	return -1, 0, ""
}

func (m *model) contact(name string) *sitefile.Contact {
	for i := range m.site.Contacts {
		if m.site.Contacts[i].Name == name {
			return &m.site.Contacts[i]
		}
	}
	return nil
}
