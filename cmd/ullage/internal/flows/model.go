package flows

import (
	"context"
	"fmt"
	"maps"
	"slices"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/sitefile"
)

// model is the network of a site with its outputs and levels set by hand.
type model struct {
	ctx    context.Context // ends the computing before the next solve
	site   *sitefile.Site
	plan   *pipework.Plan
	solver *water.Solver
	order  []part // every part that has an inlet, in the order in which water comes to them
	opens  []string
	levels []float64 // m, of the tanks of the site

	switching map[string]bool // pumps that their pressure switch turns on and off in the last solve
}

// part is an entry of the site file that water passes.
type part struct{ name, kind, from string }

// leaves tells a part where water leaves the pipes.
func (p part) leaves() bool { return p.kind == "outlet" || p.kind == "lateral" }

func newModel(ctx context.Context, s *sitefile.Site) (*model, error) {
	plan, err := pipework.New(s)
	if err != nil {
		return nil, err
	}
	solver, err := plan.Network.Compile()
	if err != nil {
		return nil, fmt.Errorf("site %q: %w", s.Name, err)
	}
	m := &model{ctx: ctx, site: s, plan: plan, solver: solver, switching: map[string]bool{}}
	m.order = downstream(s, plan)
	m.supply(weakestOf)
	for _, t := range s.Tanks {
		m.levels = append(m.levels, t.Starts.SI)
	}
	return m, nil
}

// downstream lists the parts behind each supply and tank, each branch to its end before the next one.
func downstream(s *sitefile.Site, plan *pipework.Plan) []part {
	feeds := maps.Clone(plan.Feeds)
	for _, x := range s.Outlets {
		feeds[x.Name] = x.From
	}
	for _, x := range s.Laterals {
		feeds[x.Name] = x.From
	}
	var list []part
	var follow func(from string)
	follow = func(from string) {
		for _, d := range s.Devices() {
			if feeds[d.Name] == from {
				list = append(list, part{d.Name, d.Kind, from})
				follow(d.Name)
			}
		}
	}
	for _, d := range s.Devices() {
		if d.Kind == "supply" || d.Kind == "tank" {
			list = append(list, part{name: d.Name, kind: d.Kind})
			follow(d.Name)
		}
	}
	return list
}

// open opens these outputs and shuts the others.
func (m *model) open(outputs []string) {
	m.opens = outputs
	for _, v := range m.site.Valves {
		kv := 0.0
		if slices.Contains(outputs, v.Name) {
			kv = v.Capacity.SI
		}
		m.solver.SetKv(m.plan.Links[v.Name], kv)
	}
}

// supply sets the mains to a static pressure each, Pa.
func (m *model) supply(static func(sitefile.Supply) float64) {
	for _, x := range m.site.Supplies {
		m.solver.SetStatic(m.plan.Supplies[x.Name], pipework.Head(static(x))+x.Height.SI)
	}
}

// weakestOf is the pressure of a supply at rest in its weakest hour of the day, Pa.
func weakestOf(x sitefile.Supply) float64 {
	static, _ := weakest(x)
	return static
}

// weakest is that pressure, and the time of day from which it is so; "" when it is the same all day.
func weakest(x sitefile.Supply) (static float64, from string) {
	static = x.Static.SI
	for i, d := range x.Daily {
		if p := x.Static.SI * d.Share.SI; i == 0 || p < static {
			static, from = p, d.From
		}
	}
	return static, from
}

// highestOf is the highest pressure of a supply at rest that the site file allows, Pa.
func highestOf(x sitefile.Supply) float64 {
	share := 0.0
	for _, d := range x.Daily {
		share = max(share, d.Share.SI)
	}
	if len(x.Daily) == 0 {
		share = 1
	}
	return x.Static.High() * share
}

// solve computes the flows with every tank held at a level.
func (m *model) solve(levels []float64) error {
	if err := m.ctx.Err(); err != nil {
		return err
	}
	for i, t := range m.site.Tanks {
		m.solver.Hold(m.plan.Nodes[t.Name], levels[i])
	}
	for _, p := range m.site.Pumps {
		speed, suction := 0.0, float64(pipework.SuctionKv)
		if slices.Contains(m.opens, p.Name) {
			speed = 1
		}
		if m.sucksAir(p, levels) {
			speed, suction = 0, 0
		}
		m.solver.SetSpeed(m.plan.Links[p.Name], speed)
		m.solver.SetKv(m.plan.Suctions[p.Name], suction)
		m.switching[p.Name] = false
		if governed(p) {
			m.solver.Hold(m.plan.Nodes[p.Name], 0)
		}
	}
	m.dip(levels)
	for _, p := range m.site.Pumps {
		if governed(p) && slices.Contains(m.opens, p.Name) && !m.sucksAir(p, levels) {
			if err := m.keepPressure(p); err != nil {
				return err
			}
		}
	}
	if err := m.solver.Solve(); err != nil {
		return fmt.Errorf("site %q with %v open: %w", m.site.Name, m.opens, err)
	}
	return nil
}

// sucksAir reports whether the water before a pump stands too low for it.
func (m *model) sucksAir(p sitefile.Pump, levels []float64) bool {
	at := m.tank(m.plan.Source(p.From))
	return at >= 0 && levels[at] <= p.DryBelow.SI
}

// tank is the number of a tank; -1 when there is none of that name.
func (m *model) tank(name string) int {
	return slices.IndexFunc(m.site.Tanks, func(t sitefile.Tank) bool { return t.Name == name })
}

// area is that of the surface of the water in a tank, m².
func (m *model) area(tank int, level float64) float64 {
	return m.plan.Vessels[m.site.Tanks[tank].Name].Area(level)
}

// net is what runs into a tank less what leaves it, m³/s.
func (m *model) net(tank int) float64 {
	return m.solver.NetInflow(m.plan.Nodes[m.site.Tanks[tank].Name])
}

// dip turns outlets that dip into a tank into a way in both directions where they are under water.
func (m *model) dip(levels []float64) {
	for _, x := range m.site.Outlets {
		d, ok := m.plan.Dips[x.Name]
		if !ok {
			continue
		}
		kv, free := 0.0, d.Free
		if levels[m.tank(x.Into)] > x.Dips.SI {
			kv, free = d.Kv, 0
		}
		m.solver.SetKv(d.Link, kv)
		m.solver.SetCoefficient(m.plan.Outlets[x.Name][0], free)
	}
}

// outflow is the water of an outlet or lateral, m³/s.
func (m *model) outflow(name string) float64 {
	sum := 0.0
	if d, ok := m.plan.Dips[name]; ok {
		sum = m.solver.Flow(d.Link)
	}
	for _, o := range m.plan.Outlets[name] {
		sum += m.solver.Outflow(o)
	}
	return sum
}

// leaving is the water of all outlets and laterals, m³/s.
func (m *model) leaving() float64 {
	sum := 0.0
	for _, p := range m.order {
		sum += m.outflow(p.name)
	}
	return sum
}

// way lists the parts that water passes on its way to a part, from the source on.
func (m *model) way(p part) []string {
	var list []string
	for from, ok := p.from, true; ok; from, ok = m.plan.Feeds[from] {
		list = append(list, from)
	}
	slices.Reverse(list)
	return list
}

// driven tells a valve or a pump, which the controller opens.
func (m *model) driven(name string) bool {
	return slices.ContainsFunc(m.site.Valves, func(v sitefile.Valve) bool { return v.Name == name }) ||
		slices.ContainsFunc(m.site.Pumps, func(p sitefile.Pump) bool { return p.Name == name })
}
