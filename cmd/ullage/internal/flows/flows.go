package flows

import (
	"context"
	"slices"

	"ullage/harness/sitefile"
)

// Of computes the report of a site, which does not change. The site must have been read or checked. The error says
// which parts of the network find no steady flow, or that the context ended first.
func Of(ctx context.Context, site *sitefile.Site) (*Report, error) {
	m, err := newModel(ctx, site)
	if err != nil {
		return nil, err
	}
	r := &Report{Site: site.Name, Supplies: []Supply{}, Levels: []Level{}, Sets: []Set{}}
	for _, x := range site.Supplies {
		static, from := weakest(x)
		r.Supplies = append(r.Supplies, Supply{x.Name, Pressure(x.Static.SI), Pressure(highestOf(x)), Pressure(static),
			from})
	}
	for i, t := range site.Tanks {
		r.Levels = append(r.Levels, Level{t.Name, Length(m.levels[i])})
	}
	all := zones(site)
	if err := m.sets(r, all); err != nil {
		return nil, err
	}
	if r.Tanks, err = m.tanks(all); err != nil {
		return nil, err
	}
	r.Pipes = m.pipes(r.Sets)
	r.Dry = m.dry(r.Sets)
	if r.Warnings, err = m.warnings(r); err != nil {
		return nil, err
	}
	r.Rest = m.rest()
	r.Longest = m.longest(r.Sets)
	r.Sets, r.Others = listed(r.Sets)
	return r, nil
}

// listed are the sets of one zone and of two, and the worst of the others: that in which some outlet loses most.
func listed(sets []Set) (list []Set, others int) {
	worst, most := -1, 0.0
	for i := range sets {
		if len(sets[i].Zones) <= 2 {
			list = append(list, sets[i])
			continue
		}
		others++
		for _, p := range sets[i].Parts {
			if lost := p.lost(); worst < 0 || exceeds(lost, most) {
				worst, most = i, lost
			}
		}
	}
	if worst >= 0 {
		list, others = append(list, sets[worst]), others-1
	}
	return list, others
}

// lost is the share of its flow that an outlet loses to the other zones of a set.
func (p *Part) lost() float64 {
	if p.Sag == nil {
		return 0
	}
	return float64(p.Sag.Flow)
}

// sets computes every set of zones, what they water in a run, and how much less each outlet gets than alone.
func (m *model) sets(r *Report, all []zone) error {
	list, left := combinations(all)
	for _, zones := range list {
		s, err := m.set(zones)
		if err != nil {
			return err
		}
		if len(zones) == 1 {
			if s.Runs, err = m.runsOf(zones[0]); err != nil {
				return err
			}
		} else {
			sag(&s, r.Sets)
		}
		for i := range s.Parts {
			s.Parts[i].Marks = m.marks(&s.Parts[i], s.Opens)
		}
		r.Sets = append(r.Sets, s)
	}
	if left != nil {
		r.Left = &LeftOut{Computed: len(list), From: nameOf(left)}
	}
	return nil
}

// sag compares the outlets of a set with what each gets at the most while one of its zones is open alone.
func sag(s *Set, before []Set) {
	for i := range s.Parts {
		p := &s.Parts[i]
		if !p.Outlet {
			continue
		}
		var alone *Part
		for k := range before {
			if b := &before[k]; b.alone() && slices.Contains(s.Zones, b.Name) {
				if found := b.part(p.Name); found != nil && (alone == nil || found.Flow > alone.Flow) {
					alone = found
				}
			}
		}
		if alone != nil && flows(float64(alone.Flow)) && alone.Pressure > 0 {
			p.Sag = &Sag{Share(1 - p.Flow/alone.Flow), Share(1 - float64(p.Pressure/alone.Pressure))}
		}
	}
}

// pipes lists the fastest water in each pipe, and at the inlet of the lines of each lateral.
func (m *model) pipes(sets []Set) []Pipe {
	list := []Pipe{}
	add := func(name string, bore, length float64) {
		p := Pipe{Name: name, Bore: Length(bore)}
		var fastest Velocity
		for i := range sets {
			s := &sets[i]
			part := s.part(name)
			if part != nil && part.Velocity != nil && part.Lost != nil && length > 0 && *part.Velocity > fastest {
				lost := *part.Lost * Pressure(100/length)
				fastest, p.Per100 = *part.Velocity, &lost
			}
			switch {
			case part == nil || part.Velocity == nil:
			case s.alone():
				if *part.Velocity > p.Alone {
					p.Alone, p.AloneIn = *part.Velocity, s.Name
				}
			case p.Both == nil || *part.Velocity > *p.Both:
				p.Both, p.BothIn = part.Velocity, s.Name
			}
		}
		list = append(list, p)
	}
	for _, x := range m.site.Pipes {
		add(x.Name, x.Bore.SI, x.Length.SI)
	}
	for _, x := range m.site.Laterals {
		add(x.Name, x.Bore.SI, 0)
	}
	return list
}

// dry lists the outlets that get no water in any set, with the reason in the first set that is there for them.
func (m *model) dry(sets []Set) []Dry {
	list := []Dry{}
	for _, p := range m.order {
		if !p.leaves() {
			continue
		}
		d, wet := Dry{Name: p.name, Kind: p.kind}, false
		var opens []string
		for i := range sets {
			part := sets[i].part(p.name)
			wet = wet || part != nil && flows(float64(part.Flow))
			if part != nil && part.meant && !d.meant {
				d.meant, opens = true, sets[i].Opens
			}
		}
		if !wet {
			d.Why = m.barred(p.name, opens)
			list = append(list, d)
		}
	}
	return list
}

// barred says what keeps the water from an outlet while these outputs are open: the nearest of those that are not.
func (m *model) barred(outlet string, opens []string) string {
	at := slices.IndexFunc(m.order, func(p part) bool { return p.name == outlet })
	for _, on := range slices.Backward(m.way(m.order[at])) {
		if !m.driven(on) || slices.Contains(opens, on) {
			continue
		}
		if opens == nil {
			return "no rule opens " + on
		}
		return on + " is not opened with it"
	}
	return "the pressure before it does not suffice"
}
