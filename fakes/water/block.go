package water

// SetBlocked blocks a pipe from wall to wall, as ice does, or frees it again.
func (s *Solver) SetBlocked(pipe Link, blocked bool) {
	p := &s.parts[pipe-1]
	if p.kind != hazenWilliams && p.kind != darcyWeisbach {
		panic("water: SetBlocked of " + s.names[pipe-1] + ", which is no pipe")
	}
	s.shut(p, blocked)
	if !blocked {
		p.evaluate()
	}
}

// SetOff takes all that a pipe feeds off its second node, where an outlet stays with it, or puts it back on. What was
// taken off keeps its settings and takes those that come meanwhile.
func (s *Solver) SetOff(pipe Link, stays Outlet, off bool) {
	pipeAt, outletAt := int32(pipe-1), int32(s.links+s.supplies+int(stays)-1)
	node := s.parts[pipeAt].to
	for _, i := range s.touching[s.touches[node]:s.touches[node+1]] {
		if i == pipeAt || i == outletAt {
			continue
		}
		p := &s.parts[i]
		p.cut = off
		s.shut(p, p.closed)
		p.evaluate()
	}
}

// SetBarred keeps an outlet shut, or lets it be what its settings say. What was barred keeps its settings and takes
// those that come meanwhile.
func (s *Solver) SetBarred(outlet Outlet, barred bool) {
	if p := s.outletPart(outlet); p.barred != barred {
		p.barred = barred
		s.shut(p, p.closed)
		p.evaluate()
	}
}
