package flows

import (
	"slices"

	"ullage/harness/sitefile"
)

// Of computes the report of a site, which does not change. The site must have been read or checked. The error says which
// parts of the network find no steady flow.
func Of(site *sitefile.Site) (*Report, error) {
	m, err := newModel(site)
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
	if r.Dry, err = m.dry(r.Sets); err != nil {
		return nil, err
	}
	r.Warnings = m.warnings(r)
	return r, nil
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
			s.Parts[i].Marks = m.marks(&s.Parts[i])
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
		if alone != nil && flows(float64(alone.Flow)) && alone.Pressure > noise {
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
			case p.All == nil || *part.Velocity > *p.All:
				p.All, p.AllIn = part.Velocity, s.Name
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

// dry lists the outlets that get no water in any set, with the reason as it is in the last set that means them to, or else
// with what shuts them off always.
func (m *model) dry(sets []Set) ([]Dry, error) {
	list := []Dry{}
	for _, p := range m.order {
		if !p.leaves() {
			continue
		}
		opens, wet := []string{}, false
		for i := range sets {
			if part := sets[i].part(p.name); part != nil {
				opens, wet = sets[i].Opens, wet || flows(float64(part.Flow))
			}
		}
		if !wet {
			list = append(list, Dry{p.name, p.kind, m.barred(p, opens)})
		}
	}
	return list, nil
}

// barred says what keeps the water from an outlet while these outputs are open.
func (m *model) barred(p part, opens []string) string {
	for _, on := range m.way(p) {
		if m.driven(on) && !slices.Contains(opens, on) {
			kind := "valve"
			if slices.ContainsFunc(m.site.Pumps, func(x sitefile.Pump) bool { return x.Name == on }) {
				kind = "pump"
			}
			if len(opens) == 0 {
				return "no rule opens the " + kind + " " + on
			}
			return "the " + kind + " " + on + " is not opened with it"
		}
	}
	return "the pressure before it does not suffice"
}
