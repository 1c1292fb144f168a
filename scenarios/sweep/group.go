package sweep

import (
	"slices"
	"strings"
)

// group is dangerous pairs of the same two targets: each of some faults on the one beside each of some on the other.
type group struct {
	second, first   string   // targets
	seconds, firsts []string // faults
	trial           Trial    // the worst
	worst           Result
}

// groups gathers the dangerous pairs, the worst first as they were tried.
func (t *printer) groups() []*group {
	var list []*group
	at := map[string]*group{} // by second fault and the target of the first
	for i, c := range t.PairTrials {
		r := t.PairResults[i]
		if r.State != Unsafe {
			continue
		}
		key := name(c.Fault, c.Target) + "+" + c.Beside.Target
		g := at[key]
		if g == nil {
			g = &group{second: c.Target, first: c.Beside.Target, seconds: []string{c.Fault}, trial: c, worst: r}
			at[key] = g
			list = append(list, g)
		}
		g.firsts = append(g.firsts, c.Beside.Fault)
		if worseThan(r, g.worst) {
			g.trial, g.worst = c, r
		}
	}
	for _, g := range list {
		slices.Sort(g.firsts)
	}
	return joined(list)
}

// joined joins groups that differ only in the second fault.
func joined(list []*group) []*group {
	var kept []*group
	for _, g := range list {
		i := slices.IndexFunc(kept, func(k *group) bool {
			return k.second == g.second && k.first == g.first && slices.Equal(k.firsts, g.firsts)
		})
		if i < 0 {
			kept = append(kept, g)
			continue
		}
		kept[i].seconds = append(kept[i].seconds, g.seconds...)
		if worseThan(g.worst, kept[i].worst) {
			kept[i].trial, kept[i].worst = g.trial, g.worst
		}
	}
	return kept
}

// failures lists faults of one target without their device, jammed-released, where that distinguishes them.
func failures(faults []string) string {
	var short []string
	for _, id := range faults {
		_, after, _ := strings.Cut(id, ".")
		if slices.Contains(short, after) {
			return strings.Join(faults, ", ")
		}
		short = append(short, after)
	}
	return strings.Join(short, ", ")
}
