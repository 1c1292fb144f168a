package flows

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"ullage/fakes/pipework"
	"ullage/harness/sitefile"
)

// Rest is the pressure at a place while nothing flows, with the pumps before it running against what is shut.
type Rest struct {
	Place    string   `json:"place"`
	What     string   `json:"what"` // "before the valve", "lowest outlet"
	Pressure Pressure `json:"static_bar"`
}

// Line is the way of the water to one outlet.
type Line struct {
	To      string   `json:"to"`
	Through []string `json:"through"` // pipes
	Length  Length   `json:"length_mm"`
	Lost    Pressure `json:"lost_bar"` // in the pipes, while its zone runs alone
	Set     string   `json:"set"`
}

// rest lists the pressure at rest before each valve, where a manifold stands, and at the lowest outlet, which has the
// most of all.
func (m *model) rest() []Rest {
	list := []Rest{}
	for _, v := range m.site.Valves {
		if from, ok := m.plan.Feeds[v.Name]; ok {
			list = append(list, Rest{v.Name, "before the valve", m.static(part{name: v.Name, from: from}, from)})
		}
	}
	lowest, height := part{}, math.Inf(1)
	for _, p := range m.order {
		if h := m.plan.Heights[p.from]; p.leaves() && h < height {
			lowest, height = p, h
		}
	}
	if lowest.name != "" {
		list = append(list, Rest{lowest.name, "lowest outlet", m.static(lowest, lowest.from)})
	}
	return list
}

// static is the pressure at rest at the outlet of a part, on the way to another.
func (m *model) static(to part, at string) Pressure {
	head := 0.0
	for _, name := range m.way(to) {
		head = m.headAtRest(name, head)
		if name == at {
			break
		}
	}
	return Pressure((head - m.plan.Heights[at]) * pipework.PerMetre)
}

// headAtRest is the head behind a part of the way while nothing flows, m, given that before it.
func (m *model) headAtRest(name string, before float64) float64 {
	for _, x := range m.site.Supplies {
		if x.Name == name {
			return pipework.Head(x.Static.SI) + x.Height.SI
		}
	}
	if i := m.tank(name); i >= 0 {
		return m.plan.Heights[name] + m.levels[i]
	}
	for _, x := range m.site.Pumps {
		switch {
		case x.Name != name:
		case governed(x):
			return m.plan.Heights[name] + pipework.Head(x.PressureSwitch.CutOut.SI)
		default:
			return before + x.Curve[0].Head.SI
		}
	}
	if i := slices.IndexFunc(m.site.Regulators, func(x sitefile.Regulator) bool { return x.Name == name }); i >= 0 {
		return min(before, m.plan.Heights[name]+pipework.Head(m.site.Regulators[i].Sets.SI))
	}
	return before
}

// longest is the line with the greatest length of pipe; nil where no pipe leads anywhere.
func (m *model) longest(sets []Set) *Line {
	var longest *Line
	for _, p := range m.order {
		if !p.leaves() {
			continue
		}
		l := Line{To: p.name, Length: Length(m.lateral(p.name))}
		for _, name := range m.way(p) {
			if i := slices.IndexFunc(m.site.Pipes, func(x sitefile.Pipe) bool { return x.Name == name }); i >= 0 {
				l.Through = append(l.Through, name)
				l.Length += Length(m.site.Pipes[i].Length.SI)
			}
		}
		if l.Length > 0 && (longest == nil || exceeds(float64(l.Length), float64(longest.Length))) {
			longest = &l
		}
	}
	if longest != nil {
		longest.lose(sets)
	}
	return longest
}

// lateral is the length of a line of a lateral, m; 0 of an outlet.
func (m *model) lateral(name string) float64 {
	for _, x := range m.site.Laterals {
		if x.Name == name {
			return float64(x.Emitters) * x.Spacing.SI
		}
	}
	return 0
}

// lose adds up what the pipes of the line lose in the first set of one zone that brings water to its end.
func (l *Line) lose(sets []Set) {
	for i := range sets {
		s := &sets[i]
		end := s.part(l.To)
		if !s.alone() || end == nil || !flows(float64(end.Flow)) {
			continue
		}
		l.Set = s.Name
		for _, name := range l.Through {
			if p := s.part(name); p != nil && p.Lost != nil {
				l.Lost += *p.Lost
			}
		}
		if end.First != nil && end.Last != nil {
			l.Lost += end.First.Pressure - end.Last.Pressure
		}
		return
	}
}

// atRest prints the pressures at rest and the longest line.
func (p *page) atRest() {
	if len(p.r.Rest) > 0 {
		p.section("At rest")
		p.Note("", "Nothing flows; a pump before it runs against what is shut.")
		g := grid{align: "llr", heads: [][]string{{"", "", "pressure"}, {"", "", p.pressure.symbol}}}
		for _, r := range p.r.Rest {
			g.add("", r.Place, r.What, p.pressure.number(float64(r.Pressure)))
		}
		g.print(&p.Sheet)
	}
	if l := p.r.Longest; l != nil {
		text := fmt.Sprintf("Longest line: %s to %s", p.height.text(float64(l.Length)), l.To)
		if len(l.Through) > 0 {
			text += " through " + strings.Join(l.Through, ", ")
		}
		if l.Set != "" {
			text += fmt.Sprintf("; %s lost in its pipes with %s open", p.pressure.text(float64(l.Lost)), l.Set)
		}
		p.Note("", text+".")
	}
}
