package sweep

import (
	"slices"
	"sort"
	"strings"

	"ullage/harness/outcome"
)

// pairs are the cells in which a latent fault stands beside another: one that alone costs no outcome anything of its margin at
// any moment and lets no alert arrive, and so waits unnoticed for a second. The second brings the
// device of the latent one into play, which means that something about it is otherwise than without. Of all
// moments at which it does, the one with the least to spare is tried. At the most so many are returned, those with the
// least to spare first; how many were left out is returned too.
func (p *Plan) pairs(singles []Result, most int) (cells []Cell, leftOut int) {
	latent := p.latent(singles)
	type pair struct {
		cell  Cell
		share float64
	}
	best := map[string]pair{} // by latent fault and second fault
	for i, r := range singles {
		if r.State != Held && r.State != Harm {
			continue
		}
		share := 1.0
		if j, ok := r.Tightest(); ok {
			share = j.Share()
		}
		for _, b := range latent {
			c := p.Cells[i]
			if b.Target == c.Target || !slices.Contains(r.Touched, b.Target) {
				continue
			}
			key := name(b.Fault, b.Target) + "+" + name(c.Fault, c.Target)
			if old, ok := best[key]; !ok || share < old.share {
				best[key] = pair{c.beside(b), share}
			}
		}
	}
	list := make([]pair, 0, len(best))
	for _, b := range best {
		list = append(list, b)
	}
	sort.Slice(list, func(i, j int) bool {
		if list[i].share != list[j].share {
			return list[i].share < list[j].share
		}
		return list[i].cell.ID < list[j].cell.ID
	})
	leftOut = max(0, len(list)-max(0, most))
	for _, b := range list[:len(list)-leftOut] {
		cells = append(cells, b.cell)
	}
	return cells, leftOut
}

// latent are the faults that can have been there all along and that nobody notices.
func (p *Plan) latent(singles []Result) []placement {
	noticed := map[string]bool{}
	possible := map[string]bool{}
	for i, r := range singles {
		id := name(p.Cells[i].Fault, p.Cells[i].Target)
		_, costs := r.Tightest()
		noticed[id] = noticed[id] || costs || r.State == Broken || len(r.Alerts) > 0
		possible[id] = possible[id] || r.State == Held || r.State == NotMet
	}
	var list []placement
	for _, b := range p.standby {
		if id := name(b.Fault, b.Target); possible[id] && !noticed[id] {
			list = append(list, b)
		}
	}
	return list
}

// more judges the results of pairs: lost is what the second fault alone does not lose. The latent one alone loses nothing.
func (p *Plan) more(singles []Result, pairs []Cell, results []Result) {
	alone := map[string]Result{}
	for i, c := range p.Cells {
		alone[c.ID] = singles[i]
	}
	for i, c := range pairs {
		r := &results[i]
		_, second, _ := strings.Cut(c.ID, "+")
		r.Outcomes = slices.Clone(r.Outcomes)
		for k := range r.Outcomes {
			j, one := &r.Outcomes[k], alone[second].Outcomes[k]
			j.Usual, j.Lost = one.Margin, j.State == outcome.Failed && one.State != outcome.Failed
			if j.Lost {
				r.State = Harm
			}
		}
	}
}
