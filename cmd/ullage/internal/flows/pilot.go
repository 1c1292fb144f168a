package flows

import (
	"slices"

	"ullage/fakes/pipework"
	"ullage/harness/sitefile"
)

// heldUp is the differential over a pilot-operated valve through which water flows while it is fully open, and the one
// that holds its disc up there, Pa. Both are 0 for every other part. The sets are computed with valves fully open; with
// less than it needs the disc floats lower and takes that differential from the flow.
func (m *model) heldUp(p *Part) (held, needs float64) {
	if lifts := m.lifts(p.Name); lifts > 0 && p.Lost != nil && flows(float64(p.Flow)) {
		return float64(*p.Lost), lifts * sitefile.HoldingShare
	}
	return 0, 0
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
