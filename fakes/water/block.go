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
