package sweep

import (
	"slices"
	"sort"
	"strings"

	"ullage/harness/outcome"
)

// pairs are the trials in which a latent fault stands beside another: one that alone costs no outcome anything of its
// margin at any moment and lets no alert arrive, and so waits unnoticed for a second. The second brings the device of
// the latent one into play, which means that something about it is otherwise than without. Of all moments at which it
// does, the one with the smallest margin is tried. At the most so many are returned, those with the smallest
// margins first; how many were left out is returned too.
func (p *Plan) pairs(singles []Result, most int) (trials []Trial, leftOut int) {
	latent := p.latent(singles)
	type pair struct {
		trial Trial
		share float64
	}
	best := map[string]pair{} // by latent fault and second fault
	for i, r := range singles {
		if r.State != Safe && r.State != Unsafe {
			continue
		}
		share := 1.0
		if j, ok := r.Tightest(); ok {
			share = j.Share()
		}
		for _, b := range latent {
			c := p.Trials[i]
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
		return list[i].trial.ID < list[j].trial.ID
	})
	leftOut = max(0, len(list)-max(0, most))
	for _, b := range list[:len(list)-leftOut] {
		trials = append(trials, b.trial)
	}
	return trials, leftOut
}

// latent are the faults that can have been there all along and that nobody notices.
func (p *Plan) latent(singles []Result) []placement {
	noticed := map[string]bool{}
	possible := map[string]bool{}
	for i, r := range singles {
		id := name(p.Trials[i].Fault, p.Trials[i].Target)
		_, costs := r.Tightest()
		noticed[id] = noticed[id] || costs || r.State == NotRun || len(r.Alerts) > 0
		possible[id] = possible[id] || r.State == Safe || r.State == NoEffect
	}
	var list []placement
	for _, b := range p.standby {
		if id := name(b.Fault, b.Target); possible[id] && !noticed[id] {
			list = append(list, b)
		}
	}
	return list
}

// more judges the results of pairs: lost is what the second fault alone does not lose. The latent one alone loses
// nothing.
func (p *Plan) more(singles []Result, pairs []Trial, results []Result) {
	alone := map[string]Result{}
	for i, c := range p.Trials {
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
				r.State = Unsafe
			}
		}
	}
}
