package water

import "math"

// survey works out, after states or modes changed, which heads are given and
// which rows water can reach. Rows out of reach get a resting head, that of
// the lowest opening of their part of the network: what is left there drains
// to it.
func (s *Solver) survey() {
	s.changed, s.rerouted = false, true
	s.holdTanks()
	s.reach()
	s.pins = s.pins[:0]
	for row := range s.free {
		if s.lost[row] || s.pinned[row] {
			s.pins = append(s.pins, int32(row))
		}
	}
	s.factor.leaveOut(s.pins)
	s.settleLost()
	s.live = s.live[:0]
	for i := range s.parts {
		p := &s.parts[i]
		p.slot = s.factor.nowhere()
		wasDead := p.dead
		p.dead = s.lost[p.from] || s.lost[p.to]
		switch {
		case p.dead:
			if p.state == Open || p.state == Active {
				p.flow = 0
				p.evaluate()
			}
		case !s.pinned[p.from] && !s.pinned[p.to]:
			p.slot = s.real[i]
		}
		if !p.dead {
			s.live = append(s.live, int32(i))
		}
		if wasDead && !p.dead && p.state <= Active && p.kind >= emitting {
			p.flow = p.start
			p.evaluate()
		}
	}
}

// holdTanks pins the tanks at a given level and bars water from dry ones.
func (s *Solver) holdTanks() {
	for row := range s.free {
		s.pinned[row] = false
	}
	for i := range s.tanks {
		t := &s.tanks[i]
		if t.filling {
			t.dry = t.volume0 <= 0
		} else {
			s.pinned[t.row] = true
			s.head[t.row] = s.elevation[t.row] + t.level
			t.dry = t.level <= 0
		}
		for _, i := range s.touching[s.touches[t.row]:s.touches[t.row+1]] {
			p := &s.parts[i]
			p.mayForward = p.forward && !s.isDry(p.from)
			p.mayBackward = p.backward && !s.isDry(p.to)
		}
	}
}

func (s *Solver) isDry(row int32) bool {
	t := s.tankOf[row]
	return t >= 0 && s.tanks[t].dry
}

// reach marks the rows that water reaches from reservoirs, tanks and supplies
// through open parts, and pins the rows behind active regulators and before active
// crests.
func (s *Solver) reach() {
	queue := s.queue[:0]
	for row := range s.lost {
		source := row >= s.free && row < s.firstOutletRow() || s.tankOf[row] >= 0
		s.lost[row] = !source
		if source {
			queue = append(queue, int32(row))
		}
	}
	for i := s.links + s.supplies; i < len(s.parts); i++ {
		p := &s.parts[i]
		s.lost[p.to] = false
		if p.backward {
			queue = append(queue, p.to)
		}
	}
	for at := 0; at < len(queue); at++ {
		row := queue[at]
		for _, i := range s.touching[s.touches[row]:s.touches[row+1]] {
			p := &s.parts[i]
			other := p.from + p.to - row
			if s.lost[other] && (p.state == Open || p.state == Active && row == p.from) {
				s.lost[other] = false
				queue = append(queue, other)
			}
		}
	}
	s.queue = queue[:0]
	for _, i := range s.watch {
		p := &s.parts[i]
		if p.state != Active {
			continue
		}
		if s.lost[p.from] {
			p.state, p.flow = Closed, 0
			continue
		}
		row := p.to
		if p.kind == crest {
			row = p.from
		}
		s.pinned[row] = true
		s.head[row] = p.setting
	}
}

func (s *Solver) firstOutletRow() int { return len(s.head) - (len(s.parts) - s.links - s.supplies) }

// settleLost gives the rows out of reach their resting heads, one connected
// piece after the other.
func (s *Solver) settleLost() {
	for _, row := range s.pins {
		s.excess[row] = 0
	}
	for _, first := range s.pins {
		if !s.lost[first] || s.excess[first] != 0 {
			continue
		}
		queue := append(s.queue[:0], first)
		s.excess[first] = 1 // visited
		opening, lowest := math.Inf(1), math.Inf(1)
		for at := 0; at < len(queue); at++ {
			row := queue[at]
			lowest = math.Min(lowest, s.elevation[row])
			for _, i := range s.touching[s.touches[row]:s.touches[row+1]] {
				p := &s.parts[i]
				if p.kind >= emitting {
					if p.state != Shut {
						opening = math.Min(opening, s.head[p.to])
					}
					continue
				}
				other := p.from + p.to - row
				if p.state <= Active && s.lost[other] && s.excess[other] == 0 {
					s.excess[other] = 1
					queue = append(queue, other)
				}
			}
		}
		rest := opening
		if math.IsInf(rest, 1) {
			rest = lowest
		}
		for _, row := range queue {
			s.head[row] = rest
			s.shutIn[row] = math.IsInf(opening, 1)
		}
		s.queue = queue[:0]
	}
}
