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
	for i := range s.parts {
		p := &s.parts[i]
		if p.dead || p.state >= Closed {
			continue
		}
		if p.state == Active {
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

// advance takes the step and says whether every part now meets its law.
func (s *Solver) advance() bool {
	damping := 1.0
	if s.iterations > dampAfter && s.iterations%4 != 0 {
		damping = 0.5
	}
	excess, head := s.excess, s.head
	for row := range s.free {
		excess[row] = float64(excess[row] * damping)
		head[row] += excess[row]
	}
	for row := s.free; row < len(excess); row++ {
		excess[row] = 0
	}
	allowed := float64(s.greatest*flowShare) + flowTolerance
	greatest, settled := 0.0, true
	for i := range s.parts {
		p := &s.parts[i]
		if p.dead || p.state != Open {
			continue
		}
		p.flow = p.predicted + float64(p.conductance*(excess[p.from]-excess[p.to]))
		p.evaluate()
		greatest = math.Max(greatest, math.Abs(p.flow))
		from, to := head[p.from], head[p.to]
		if p.steep && !p.backward && p.loss > 4*math.Abs(from-to)+1e-3 {
			p.flow = p.flowAt(math.Abs(from-to) + 1e-3)
			p.evaluate()
		}
		miss := math.Abs(p.loss - (from - to))
		if !(miss <= headTolerance+flowShare*math.Abs(p.loss)) ||
			float64(miss*p.conductance) > allowed && miss > rounding*(math.Abs(from)+math.Abs(to)+1) {
			settled = false
			s.unsettled = int32(i)
		}
	}
	s.greatest = greatest
	return s.passOn() && settled && damping == 1
}

// passOn updates the flows that act beside the matrix, through active
// regulators and into catching tanks, and says whether they have settled.
func (s *Solver) passOn() bool {
	settled := true
	for _, i := range s.watch {
		p := &s.parts[i]
		if p.state != Active || p.dead {
			continue
		}
		flow := s.outflow(p.to, i)
		if !(math.Abs(flow-p.flow) <= flowShare*math.Abs(flow)+passTolerance) {
			settled = false
			s.unsettled = i
		}
		p.flow = flow
	}
	for i := range s.catches {
		c := &s.catches[i]
		p := &s.parts[c.part]
		if p.state == Open && !p.dead && !s.pinned[c.row] && !(math.Abs(p.flow-p.predicted) <= flowShare*math.Abs(p.flow)+passTolerance) {
			settled = false
			s.unsettled = c.part
		}
	}
	return settled
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
