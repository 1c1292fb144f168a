package flows

import "ullage/harness/sitefile"

// heldUp is the differential over a pilot-operated valve through which water flows while it is fully open, and the one that
// holds its disc up there, Pa. Both are 0 for every other part. The sets are computed with valves fully open; with less
// than it needs the disc floats lower and takes that differential from the flow.
func (m *model) heldUp(p *Part) (held, needs float64) {
	for _, v := range m.site.Valves {
		if v.Name == p.Name && v.Operates == sitefile.Pilot && p.Lost != nil && flows(float64(p.Flow)) {
			return float64(*p.Lost), v.OpensAt.SI * sitefile.HoldingShare
		}
	}
	return 0, 0
}
