package water

import "math"

// How well a solution must meet its equations: a part's loss of head must
// meet the heads at its ends to headTolerance, and the flow that would make up
// the difference must be below flowShare of the greatest flow.
const (
	headTolerance = 1e-8 // m
	flowShare     = 1e-9
	flowTolerance = 1e-13 // m3/s
	passTolerance = 2e-12 // m3/s, of flows passed on beside the matrix
	rounding      = 4e-14 // of the heads' size: what arithmetic leaves

	// m2/s, the conductance between the vapour at a crest and the water behind it, without which water that is shut in
	// there could have any head
	trace = 1e-13

	contentTolerance = 1e-13 // m4/s, of the slope of the content: below is rounding
)

// assemble sets up the equations for the changes of head: at every free row
// the sum of conductances times differences of the changes equals the excess
// of inflow over outflow at the flows that the linearised losses give now.
func (s *Solver) assemble() {
	s.factor.clear()
	diag, low, excess, head := s.factor.diag, s.factor.low, s.excess, s.head
	for row, draw := range s.draw {
		excess[row] = -draw
	}
	for _, i := range s.live {
		p := &s.parts[i]
		if p.state >= Closed {
			continue
		}
		switch {
		case p.state == Active && p.kind == crest:
			excess[p.to] += p.flow + float64(trace*(p.setting-head[p.to]))
			diag[p.to] += trace
			continue
		case p.state == Active:
			excess[p.from] -= p.flow
			continue
		}
		from, to := p.from, p.to
		flow := p.flow - float64(p.conductance*(p.loss-(head[from]-head[to])))
		p.predicted = flow
		excess[from] -= flow
		excess[to] += flow
		diag[from] += p.conductance
		diag[to] += p.conductance
		low[p.slot] -= p.conductance
	}
	for _, c := range s.catches {
		if p := &s.parts[c.part]; p.state == Open && !p.dead {
			excess[c.row] += p.predicted
		}
	}
	for i := range s.tanks {
		t := &s.tanks[i]
		if t.filling {
			level := head[t.row] - s.elevation[t.row]
			excess[t.row] -= (t.vessel.Volume(level)-t.volume0)/t.half - t.inflow0
			diag[t.row] += t.vessel.Area(level) / t.half
		}
	}
	for _, row := range s.pins {
		diag[row], excess[row] = 1, 0
	}
}

// advance takes the whole step and reports whether every part now meets its law.
// A steep outlet whose flow went far too high is put where its head says.
func (s *Solver) advance() bool {
	change, head := s.excess, s.head
	s.moveHeads(1)
	var miss tally
	for _, i := range s.live {
		p := &s.parts[i]
		if p.state != Open {
			continue
		}
		p.flow = p.predicted + float64(p.conductance*(change[p.from]-change[p.to]))
		p.evaluate()
		from, to := head[p.from], head[p.to]
		if p.steep && !p.backward && p.loss > 4*math.Abs(from-to)+1e-3 {
			p.flow = p.flowAt(math.Abs(from-to) + 1e-3)
			p.evaluate()
		}
		miss.add(p, i, from, to)
	}
	settled := s.judge(&miss)
	return s.passOn() && settled
}

// advanceCarefully is advance with a line search. Flows that balance at every
// node stay balanced over any share of a step, and the flow that is sought is
// the least of a convex function of such flows, the content (M. A. Collins and
// others, 1978), whose slope along the step is the sum of the changes of flow
// times the heads that the laws miss. So each step goes down to where that
// slope has not turned up again by half. The first step after parts switched
// is whole, which balances the flows.
func (s *Solver) advanceCarefully() bool {
	const tries = 40
	change, head := s.excess, s.head
	for row := s.free; row < len(change); row++ {
		change[row] = 0
	}
	down := 0.0
	for _, i := range s.live {
		p := &s.parts[i]
		p.before = p.flow
		if p.state == Open {
			p.predicted += float64(p.conductance * (change[p.from] - change[p.to]))
			down += float64((p.predicted-p.before)*(p.predicted-p.before)) / p.conductance
		}
	}
	share, taken := 1.0, 0.0
	for range tries {
		s.moveHeads(share - taken)
		taken = share
		up := 0.0
		for _, i := range s.live {
			p := &s.parts[i]
			if p.state != Open {
				continue
			}
			whole := p.predicted - p.before
			p.flow = p.before + float64(share*whole)
			p.evaluate()
			up += float64(whole * (p.loss - (head[p.from] - head[p.to])))
		}
		if s.unbalanced || up <= 0.5*down+contentTolerance {
			break
		}
		share *= math.Min(math.Max(down/(down+up), 0.1), 0.7)
	}
	s.unbalanced = false
	var miss tally
	for _, i := range s.live {
		if p := &s.parts[i]; p.state == Open {
			miss.add(p, i, head[p.from], head[p.to])
		}
	}
	settled := s.judge(&miss)
	return s.passOn() && settled
}

// moveHeads adds a share of the step to the heads.
func (s *Solver) moveHeads(share float64) {
	change := s.excess[:s.free]
	for i := range s.tanks {
		if t := &s.tanks[i]; t.curved && t.filling {
			s.moveVolume(t, share)
		}
	}
	for row, rise := range change {
		s.head[row] += float64(share * rise)
	}
	clear(s.excess[s.free:])
}

// moveVolume corrects the move of a tank whose area is not the same at all
// levels: its volume moves by the area where it stands, as the equations have
// it, and its level is that of the volume. Until both agree, the parts at the
// tank miss their laws. A level could run away where a tank is narrow; a volume
// cannot.
func (s *Solver) moveVolume(t *tankState, share float64) {
	level := s.head[t.row] - s.elevation[t.row]
	rise := float64(share * s.excess[t.row])
	moved := t.vessel.Level(t.vessel.Volume(level) + float64(t.vessel.Area(level)*rise))
	s.head[t.row] += moved - level - rise
}

// tally is how well parts meet their laws.
type tally struct {
	greatest float64 // flow
	missing  float64 // greatest flow that would make up what a loss misses
	worst    int32   // the part that misses it
	headMiss bool    // whether a loss is off by too much
	headPart int32
}

// add counts one part with its heads.
func (t *tally) add(p *part, i int32, from, to float64) {
	t.greatest = max(t.greatest, math.Abs(p.flow))
	miss := math.Abs(p.loss - (from - to))
	if !(miss <= headTolerance+float64(flowShare*math.Abs(p.loss))) {
		t.headMiss, t.headPart = true, i
	}
	if flow := float64(miss * p.conductance); flow > t.missing && miss > rounding*(math.Abs(from)+math.Abs(to)+1) {
		t.missing, t.worst = flow, i
	}
}

// judge reports whether all parts meet their laws, and notes one that does not.
func (s *Solver) judge(t *tally) bool {
	switch {
	case t.headMiss:
		s.unsettled = t.headPart
	case t.missing > float64(t.greatest*flowShare)+flowTolerance:
		s.unsettled = t.worst
	default:
		return true
	}
	return false
}

// passOn updates the flows that act beside the matrix, through active
// regulators and into catching tanks, and reports whether they have settled.
func (s *Solver) passOn() bool {
	settled := true
	for _, i := range s.watch {
		p := &s.parts[i]
		if p.state != Active || p.dead {
			continue
		}
		flow := s.passedOn(p, i)
		if !(math.Abs(flow-p.flow) <= flowShare*math.Abs(flow)+passTolerance) {
			settled = false
			s.unsettled = i
		}
		p.flow = flow
	}
	for i := range s.catches {
		c := &s.catches[i]
		p := &s.parts[c.part]
		if p.state == Open && !p.dead && !s.pinned[c.row] &&
			!(math.Abs(p.flow-p.predicted) <= flowShare*math.Abs(p.flow)+passTolerance) {
			settled = false
			s.unsettled = c.part
		}
	}
	return settled
}

// passedOn is the flow through an active part: what leaves the row behind a
// regulator, or comes to the row before a crest, by all others.
func (s *Solver) passedOn(p *part, i int32) float64 {
	if p.kind == crest {
		return -s.outflow(p.from, i)
	}
	return s.outflow(p.to, i)
}

// outflow returns what leaves a row by all parts but one, and by its draw.
func (s *Solver) outflow(row, but int32) float64 {
	sum := s.draw[row]
	for _, i := range s.touching[s.touches[row]:s.touches[row+1]] {
		p := &s.parts[i]
		switch {
		case i == but || p.dead:
		case p.from == row:
			sum += p.flow
		default:
			sum -= p.flow
		}
	}
	for _, c := range s.catches {
		if c.row == row {
			sum -= s.parts[c.part].flow
		}
	}
	return sum
}
