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
		r.Supplies = append(r.Supplies, Supply{x.Name, Pressure(x.Static.SI), Pressure(highestOf(x))})
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
	r.Warnings, err = m.warnings(r)
	return r, err
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
	add := func(name string, bore float64) {
		p := Pipe{Name: name, Bore: Length(bore)}
		for i := range sets {
			s := &sets[i]
			part := s.part(name)
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
		add(x.Name, x.Bore.SI)
	}
	for _, x := range m.site.Laterals {
		add(x.Name, x.Bore.SI)
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
