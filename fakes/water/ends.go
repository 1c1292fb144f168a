package water

import "slices"

// stopDeadEnds takes the flow out of the parts that lead nowhere. None runs there, by continuity; what the solve leaves
// is the rounding of the heads times the conductance of the part, which grows with the pressure. Small as it is, over
// hours it would be water that comes out of nothing.
func (s *Solver) stopDeadEnds() {
	if s.rerouted {
		s.findDeadEnds()
		s.rerouted = false
	}
	for _, i := range s.deadEnds {
		if p := &s.parts[i]; p.flow != 0 {
			p.flow = 0
			p.evaluate()
		}
	}
}

// findDeadEnds lists the parts that lead nowhere. A node to which one open part leads is a dead end, unless water is
// stored there or drawn; without that part the node at its other end may be one.
func (s *Solver) findDeadEnds() {
	s.deadEnds = s.deadEnds[:0]
	clear(s.ways)
	for _, i := range s.live {
		if p := &s.parts[i]; p.state <= Active {
			s.ways[p.from]++
			s.ways[p.to]++
		}
	}
	for row := range int32(s.free) {
		for end := row; s.deadEnd(end); {
			i := s.onlyWay(end)
			p := &s.parts[i]
			s.deadEnds = append(s.deadEnds, i)
			s.ways[p.from]--
			s.ways[p.to]--
			end = p.from + p.to - end
		}
	}
}

// deadEnd reports whether what comes to a row has no way to go on.
func (s *Solver) deadEnd(row int32) bool {
	return int(row) < s.free && s.ways[row] == 1 && s.tankOf[row] < 0 && s.draw[row] == 0
}

// onlyWay is the open part that still leads to a row; those listed before lead to rows without any.
func (s *Solver) onlyWay(row int32) int32 {
	touching := s.touching[s.touches[row]:s.touches[row+1]]
	return touching[slices.IndexFunc(touching, func(i int32) bool {
		p := &s.parts[i]
		return !p.dead && p.state <= Active && s.ways[p.from+p.to-row] > 0
	})]
}
