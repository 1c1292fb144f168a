package sitefile

import "slices"

// CategoriesBehind lists the fluid categories of the water that can come back into a supply, each once, the least
// first: that of tanks which its pipes dip into, or are joined with. The site's defaults must have been filled in.
func (s *Site) CategoriesBehind(supply string) []int {
	joined := s.JoinedWith(supply)
	var list []int
	for _, t := range s.Tanks {
		meets := slices.Contains(joined, t.Name) || slices.ContainsFunc(s.Outlets, func(o Outlet) bool {
			return o.Into == t.Name && o.Dips.SI > 0 && slices.Contains(joined, s.SourceOf(o.From))
		})
		if meets && !slices.Contains(list, t.Category) {
			list = append(list, t.Category)
		}
	}
	slices.Sort(list)
	return list
}

// JoinedWith lists the supplies and tanks whose pipes are joined with those of one of them by pipes that close loops,
// itself first. The water of a tank parts what runs into it from what is drawn from it.
func (s *Site) JoinedWith(source string) []string {
	list := []string{source}
	for again := true; again; {
		again = false
		for _, p := range s.Pipes {
			if p.Joins == "" {
				continue
			}
			ends := [2]string{s.SourceOf(p.From), s.SourceOf(p.Joins)}
			for i := range ends {
				if slices.Contains(list, ends[i]) && !slices.Contains(list, ends[1-i]) {
					list, again = append(list, ends[1-i]), true
				}
			}
		}
	}
	return list
}

// SourceOf is the supply or tank that a part is fed from in the end, or the part itself; "" where that is not known.
func (s *Site) SourceOf(name string) string {
	parts := s.parts()
	for i := range parts {
		if parts[i].Name == name {
			if from := source(&parts[i]); from != nil {
				return from.Name
			}
			break
		}
	}
	return ""
}
