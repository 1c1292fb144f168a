package water

import "math"

// Margins that keep a part from switching on rounding alone.
const (
	reopenHead  = 1e-10 // m
	reverseFlow = 1e-12 // m3/s
)

// review lets parts open and close by themselves after a step and says whether
// any did. The flow on the way to a solution may run wild for one step, so
// that links and supplies switch when the step has settled or when their state
// looked wrong twice in a row.
func (s *Solver) review(settled bool) bool {
	switched := false
	for _, i := range s.watch {
		p := &s.parts[i]
		before := p.state
		switch {
		case p.state == Shut:
		case p.kind >= emitting:
			s.reopen(p)
		default:
			next := s.nextState(p)
			if next == p.state {
				p.doubt = 0
				continue
			}
			if p.doubt++; settled || p.doubt > 1 {
				s.enter(p, next)
			}
		}
		if p.state != before {
			switched = true
			s.unsettled = i
		}
	}
	return switched
}

// switchOne lets the first part whose state does not suit the settled flow
// switch, outlets before links and supplies, and reports whether there was one.
// Taking the first of a fixed order ends for a monotone network, whatever the
// states were (K. G. Murty, 1974, on complementarity); links and supplies come
// last because outlets that suck in would turn them round.
func (s *Solver) switchOne() bool {
	for _, i := range s.watch[s.firstOutlet:] {
		p := &s.parts[i]
		before := p.state
		switch {
		case p.state == Closed:
			s.reopen(p)
		case p.state == Open && !p.dead && (p.flow < -reverseFlow || !p.mayForward):
			p.state, p.flow = Closed, 0
		}
		if p.state != before {
			s.unsettled, s.rerouted = i, true
			return true
		}
	}
	for _, i := range s.watch[:s.firstOutlet] {
		p := &s.parts[i]
		if p.state == Shut {
			continue
		}
		if next := s.nextState(p); next != p.state {
			s.enter(p, next)
			s.unsettled = i
			return true
		}
	}
	return false
}

// nextState returns the state that suits the flow and heads of a link or
// supply. One that is closed opens when the heads would drive water the right
// way out of a live part of the network, or when nothing else reaches the
// nodes behind it: they rest then at the head before it, without flow.
func (s *Solver) nextState(p *part) State {
	switch {
	case p.dead && p.state != Closed:
	case p.kind == regulator:
		return s.nextRegulator(p)
	case p.kind == crest:
		return s.nextCrest(p)
	case p.state == Open:
		if p.flow < -reverseFlow && !p.mayBackward || p.flow > reverseFlow && !p.mayForward {
			return Closed
		}
	case p.state == Closed && p.kind == diaphragm:
		return s.nextDiaphragm(p)
	case p.state == Closed:
		drive := s.head[p.from] - s.head[p.to] + p.lift
		if p.mayForward && !s.lost[p.from] && (drive > reopenHead || s.lost[p.to]) ||
			p.mayBackward && !s.lost[p.to] && (drive < -reopenHead || s.lost[p.from]) {
			return Open
		}
	}
	return p.state
}

// nextDiaphragm returns the state that suits a closed diaphragm. To lift it takes its loss of head even where nothing
// else reaches the nodes behind it: against what is left to stand there.
func (s *Solver) nextDiaphragm(p *part) State {
	drive := s.head[p.from] - s.head[p.to]
	if p.mayForward && !s.lost[p.from] && drive+p.lift > reopenHead ||
		p.mayBackward && !s.lost[p.to] && (drive < -reopenHead || s.lost[p.from]) {
		return Open
	}
	return p.state
}

// nextCrest chooses among the three states of a crest: active while the head before it is that of vapour and water comes
// up to it, closed while none does, open while the head is higher.
func (s *Solver) nextCrest(p *part) State {
	before, behind := s.head[p.from], s.head[p.to]
	switch {
	case p.state == Closed:
		if !s.lost[p.from] && before > p.setting+reopenHead || !s.lost[p.to] && behind > p.setting+reopenHead {
			return Open
		}
	case p.state == Active && p.flow < -reverseFlow:
		return Closed
	case p.state == Active && behind > p.setting+reopenHead:
		return Open
	case p.state == Open && before < p.setting-reopenHead && p.flow > reverseFlow:
		return Active
	}
	return p.state
}

// nextRegulator chooses among the three states of a regulator: active while it
// holds its setting, fully open when the water arrives with less, closed when
// water would run back.
func (s *Solver) nextRegulator(p *part) State {
	before, behind := s.head[p.from], s.head[p.to]
	switch {
	case p.state == Closed:
		if p.mayForward && !s.lost[p.from] && (s.lost[p.to] || before > behind+reopenHead &&
			behind < p.setting-reopenHead) {
			if before > p.setting {
				return Active
			}
			return Open
		}
	case p.flow < -reverseFlow || p.flow > reverseFlow && !p.mayForward:
		return Closed
	case p.state == Open && behind > p.setting+reopenHead:
		return Active
	case p.state == Active && before < p.setting+float64(p.square*float64(p.flow*p.flow))-reopenHead:
		return Open
	}
	return p.state
}

// enter puts a link or supply into a state, with a flow to start from.
func (s *Solver) enter(p *part, next State) {
	drive := s.head[p.from] - s.head[p.to] + p.lift
	switch {
	case next == Closed:
		p.flow = 0
	case p.state == Closed && drive > 0 && p.mayForward:
		p.flow = p.flowAt(drive)
	case p.state == Closed && drive < 0 && p.mayBackward:
		p.flow = -p.flowAt(-drive)
	case p.kind == crest:
	case p.state == Active:
		p.flow = min(p.flow, p.flowAt(max(s.head[p.from]-p.setting, knee)))
	}
	p.state, p.doubt = next, 0
	p.evaluate()
	s.changed = true
}

// closeSucking closes the outlets that would suck in if the step were taken, or
// that are at a dry tank, and reports whether there were any; the step must then be computed anew, for what
// such an outlet feeds in throws the flows around it off. An outlet connects
// nothing and so needs no survey.
func (s *Solver) closeSucking() bool {
	found := false
	for _, i := range s.watch[s.firstOutlet:] {
		p := &s.parts[i]
		if p.state == Open && !p.dead && (!p.mayForward || p.predicted+float64(p.conductance*s.excess[p.from]) < 0) {
			p.state, p.flow = Closed, 0
			p.doubt++
			s.unsettled, s.rerouted = i, true
			found = true
		}
	}
	return found
}

// reopen opens an outlet that has pressure, at the flow for that pressure. One
// that closed earlier in the same solve may have had too little for that flow,
// and begins with next to none.
func (s *Solver) reopen(p *part) {
	drive := s.head[p.from] - s.head[p.to]
	if p.state != Closed || p.dead || !p.mayForward || drive <= reopenHead {
		return
	}
	p.state, s.rerouted = Open, true
	p.flow = p.flowAt(drive)
	if p.doubt > 0 {
		p.flow = math.Min(p.flow, p.kneeFlow)
	}
	p.evaluate()
}
