package flows

import (
	"slices"

	"ullage/fakes/pipework"
	"ullage/harness/sitefile"
)

// heldUp is the differential that a pilot-operated valve would take fully open at the flow through it, and the one that
// holds its disc up there, Pa. Both are 0 for every other part. With less than it needs the disc rides lower and takes
// that differential from the flow.
func (m *model) heldUp(p *Part) (held, needs float64) {
	lifts := m.lifts(p.Name)
	if lifts == 0 || !flows(float64(p.Flow)) {
		return 0, 0
	}
	for _, v := range m.site.Valves {
		if v.Name == p.Name {
			through := float64(p.Flow) * 3600 / v.Capacity.SI
			held = through * through * 1e5
		}
	}
	return held, lifts
}

// lifts is the differential that lifts the disc of a pilot-operated valve off its seat, Pa; 0 for every other part.
func (m *model) lifts(name string) float64 {
	for _, v := range m.site.Valves {
		if v.Name == name && v.Operates == sitefile.Pilot {
			return v.OpensAt.SI
		}
	}
	return 0
}

// stand finds what stands across each pilot-operated valve of a set while it is still shut and the others are open.
func (m *model) stand(s *Set) error {
	if !slices.ContainsFunc(s.Opens, func(name string) bool { return m.lifts(name) > 0 }) {
		return nil
	}
	for i := range s.Parts {
		p := &s.Parts[i]
		if m.lifts(p.Name) == 0 || !slices.Contains(s.Opens, p.Name) {
			continue
		}
		m.open(slices.DeleteFunc(slices.Clone(s.Opens), func(name string) bool { return name == p.Name }))
		if err := m.solve(m.levels); err != nil {
			return err
		}
		before, behind := m.plan.Nodes[m.plan.Feeds[p.Name]], m.plan.Nodes[p.Name]
		p.stands = Pressure((m.solver.Head(before) - m.solver.Head(behind)) * pipework.PerMetre)
	}
	m.open(s.Opens)
	return m.solve(m.levels)
}
