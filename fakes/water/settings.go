package water

import (
	"math"

	"ullage/harness/numeric"
)

// The setters change what the next Solve computes. They do not allocate. A
// handle of another kind of part than a setter is for is a mistake of the
// program and panics.

// SetHead sets the head of a reservoir, in m.
func (s *Solver) SetHead(reservoir Node, head float64) {
	row := s.rowOf[reservoir-1]
	if int(row) < s.free {
		panic("water: SetHead of " + s.nodeNames[reservoir-1] + ", which is no reservoir")
	}
	s.head[row], s.elevation[row] = head, head
}

// SetDraw sets the fixed draw of a junction or tank, in m3/s; negative feeds
// water in.
func (s *Solver) SetDraw(node Node, draw float64) {
	row := s.rowOf[node-1]
	if int(row) >= s.free {
		panic("water: SetDraw of " + s.nodeNames[node-1] + ", which is a reservoir")
	}
	s.draw[row], s.rerouted = draw, true
}

// Hold keeps a tank at a level, in m above its base: its flows follow from the
// level. At or below level 0 the tank takes water but gives none.
func (s *Solver) Hold(tank Node, level float64) {
	t := s.tank(tank)
	if t.filling || (t.level <= 0) != (level <= 0) {
		s.changed = true
	}
	t.filling, t.level = false, level
	row := t.row
	if !s.changed {
		s.head[row] = s.elevation[row] + level
	}
}

// Fill makes the level of a tank part of the solution: its net inflow q must
// satisfy
//
//	Volume(level) - volume0 = half (inflow0 + q).
//
// With half = dt/2 and inflow0 the net inflow at the beginning this is the
// trapezoidal rule for a step dt from volume0; with inflow0 = 0 and half = dt
// it is the backward rule of Euler. Volumes in m3, inflow in m3/s, half in s.
// A tank that begins the step empty takes water but gives none; within a step
// the level may pass the base or the rim, which the caller has to look for.
func (s *Solver) Fill(tank Node, volume0, inflow0, half float64) {
	if !(half > 0) {
		panic("water: Fill of " + s.nodeNames[tank-1] + " over no time: half must be positive")
	}
	t := s.tank(tank)
	if !t.filling || t.dry != (volume0 <= 0) {
		s.changed = true
	}
	t.filling, t.volume0, t.inflow0, t.half = true, volume0, inflow0, half
}

func (s *Solver) tank(node Node) *tankState {
	at := s.tankOf[s.rowOf[node-1]]
	if at < 0 {
		panic("water: " + s.nodeNames[node-1] + " is no tank")
	}
	return &s.tanks[at]
}

// SetStatic sets the head of a supply at rest, in m; the loss of the mains
// behind it stays, so that its residual head moves by the same amount.
func (s *Solver) SetStatic(supply Supply, static float64) {
	s.head[s.supply(supply).from] = static
}

// SetDrained sets whether a supply stands empty and open to the air: water may
// run back into it, and none comes from it.
func (s *Solver) SetDrained(supply Supply, drained bool) {
	p := s.supply(supply)
	if p.forward != drained {
		return
	}
	p.forward, p.mayForward = !drained, !drained
	s.changed = true
}

// SetInflow replaces what a fire-flow test found at a supply.
func (s *Solver) SetInflow(supply Supply, inflow Inflow) {
	p := s.supply(supply)
	s.head[p.from] = inflow.Static
	p.setInflow(inflow)
	s.changed = true
}

func (s *Solver) supply(supply Supply) *part { return &s.parts[s.links+int(supply)-1] }

// setInflow places the loss of a supply's mains.
func (p *part) setInflow(inflow Inflow) {
	loss := math.Max(inflow.Static-inflow.Residual, knee)
	p.scale = 1
	p.factor = loss / numeric.Pow(inflow.Flow, 1+p.power.Exponent())
	p.start = inflow.Flow
	p.backward, p.mayBackward = inflow.TakesBack, inflow.TakesBack
	p.fitKnee()
	p.evaluate()
}

// SetKv sets the flow coefficient of a valve, non-return valve or regulator,
// in m3/h at 1 bar; 0 shuts it. The disc of a diaphragm may rise so far.
func (s *Solver) SetKv(link Link, kv float64) {
	p := &s.parts[link-1]
	if p.kind == diaphragm {
		s.SetOpening(link, 0, kv)
		return
	}
	if p.kind != valve && p.kind != nonReturn && p.kind != regulator {
		panic("water: SetKv of " + s.names[link-1] + ", which is no valve")
	}
	s.shut(p, !(kv > 0))
	if kv > 0 {
		p.setKv(kv, s.constants)
	}
}

// setKv places the square law of a flow coefficient: a loss of 1 bar, as a
// head, at a flow of kv m3/h.
func (p *part) setKv(kv float64, constants Constants) {
	p.square = squareOf(kv, constants)
	p.start = math.Sqrt(0.1 / p.square)
	p.fitKnee()
	p.evaluate()
}

// squareOf is the factor of the square law with a loss of 1 bar at a flow of kv m3/h.
func squareOf(kv float64, constants Constants) float64 {
	const bar, hour = 1e5, 3600
	perFlow := hour / kv
	return float64(bar/float64(constants.Density*constants.Gravity)) * float64(perFlow*perFlow)
}

// shut shuts a part or takes it back into use, unless it is cut off or barred.
func (s *Solver) shut(p *part, shut bool) {
	p.closed = shut
	shut = shut || p.cut || p.barred
	switch {
	case shut && p.state != Shut:
		p.state, p.flow = Shut, 0
		s.changed = true
	case !shut && p.state == Shut:
		p.state, p.flow = Open, p.start
		if p.kind == regulator {
			p.state = Active
		}
		s.changed = true
	}
}

// SetOpening sets between which flow coefficients, in m3/h at 1 bar, the disc of a
// diaphragm rides: least, that of the gap which it cannot close, and most, that
// of where it may rise to. If both are the same it does not ride and is as any
// valve; a most of 0 shuts it.
func (s *Solver) SetOpening(link Link, least, most float64) {
	p := &s.parts[link-1]
	if p.kind != diaphragm {
		panic("water: SetOpening of " + s.names[link-1] + ", which is no diaphragm")
	}
	s.shut(p, !(most > 0))
	if most > 0 {
		before := p.backward
		if p.setOpening(least, most, s.constants); p.backward != before {
			p.mayBackward = p.backward
			s.changed = true
		}
	}
}

// SetLift sets the loss of head, in m, that lifts the disc of a diaphragm.
func (s *Solver) SetLift(link Link, lift float64) {
	p := &s.parts[link-1]
	if p.kind != diaphragm {
		panic("water: SetLift of " + s.names[link-1] + ", which is no diaphragm")
	}
	p.setting = lift
	if p.square > 0 {
		p.fitRide()
	}
}

// SetMinor sets the loss of a pipe's fittings, in velocity heads; a growing
// value stands for a pipe that clogs.
func (s *Solver) SetMinor(pipe Link, velocityHeads float64) {
	p := &s.parts[pipe-1]
	if p.kind != hazenWilliams && p.kind != darcyWeisbach {
		panic("water: SetMinor of " + s.names[pipe-1] + ", which is no pipe")
	}
	p.square = float64(velocityHeads * p.size.velocityHead)
	p.fitKnee()
	p.evaluate()
}

// SetSetting sets the pressure that a regulator holds, in m above the node
// behind it.
func (s *Solver) SetSetting(link Link, setting float64) {
	p := &s.parts[link-1]
	if p.kind != regulator {
		panic("water: SetSetting of " + s.names[link-1] + ", which is no regulator")
	}
	p.setting = s.elevation[p.to] + setting
	if p.size.lockUp != nil {
		p.size.lockUp.setting = p.setting
	}
	s.changed = true
}

// SetSpeed sets the speed of a pump, 1 being full speed and 0 standing.
func (s *Solver) SetSpeed(link Link, speed float64) {
	p := &s.parts[link-1]
	if p.kind != pumping {
		panic("water: SetSpeed of " + s.names[link-1] + ", which is no pump")
	}
	if speed == p.size.speed {
		return
	}
	s.setSpeed(p, speed)
}

func (s *Solver) setSpeed(p *part, speed float64) {
	curve := p.size.curve
	p.size.speed = speed
	if !(speed > 0) {
		s.shut(p, curve.IdleKv == 0)
		p.law, p.lift = squareLaw, 0
		if curve.IdleKv > 0 {
			p.setKv(curve.IdleKv, s.constants)
		}
		return
	}
	p.law = powerLaw
	p.square = 0
	p.lift = float64(curve.Shutoff * float64(speed*speed))
	p.factor = float64(curve.A * numeric.Pow(speed, 2-curve.B))
	p.scale = 1
	p.start = numeric.Pow(0.5*p.lift/p.factor, 1/curve.B)
	s.shut(p, false)
	if p.state == Closed { // it may overcome the head now
		p.state, p.flow = Open, p.start
		s.changed = true
	}
	p.fitKnee()
	p.evaluate()
}

// SetCoefficient sets the coefficient of an emitter, in m3/s at 1 m for each
// of its openings; 0 shuts it. A clogged opening has a smaller one.
func (s *Solver) SetCoefficient(outlet Outlet, coefficient float64) {
	p := s.outletPart(outlet)
	if p.kind != emitting {
		panic("water: SetCoefficient of " + s.outletName(outlet) + ", which is no emitter")
	}
	s.setOutlet(p, float64(coefficient*p.size.count))
}

// SetHeight sets the height of an emitter above its node, in m.
func (s *Solver) SetHeight(outlet Outlet, height float64) {
	p := s.outletPart(outlet)
	if p.kind != emitting {
		panic("water: SetHeight of " + s.outletName(outlet) + ", which is no emitter")
	}
	s.elevation[p.to] = s.elevation[p.from] + height
	s.head[p.to] = s.elevation[p.to]
}

// SetOpen sets the share of an overflow that is open, 0 to 1; 0 shuts it.
func (s *Solver) SetOpen(outlet Outlet, share float64) {
	s.setOutlet(s.overflow(outlet, "SetOpen"), share)
}

// SetRating gives an overflow another rating curve and the share of it that is open; nil is its own law again.
func (s *Solver) SetRating(outlet Outlet, rating *Rating, share float64) {
	p := s.overflow(outlet, "SetRating")
	p.law, p.rating = ratedLaw, rating
	if rating == nil {
		p.law, p.rating = p.size.law, p.size.rating
	}
	s.setOutlet(p, share)
}

func (s *Solver) overflow(outlet Outlet, setter string) *part {
	p := s.outletPart(outlet)
	if p.kind < spilling {
		panic("water: " + setter + " of " + s.outletName(outlet) + ", which is no overflow")
	}
	return p
}

func (s *Solver) outletPart(outlet Outlet) *part {
	return &s.parts[s.links+s.supplies+int(outlet)-1]
}

func (s *Solver) outletName(outlet Outlet) string {
	return s.names[s.links+s.supplies+int(outlet)-1]
}

func (s *Solver) setOutlet(p *part, size float64) {
	s.shut(p, !(size > 0))
	if size > 0 {
		p.setOutlet(size)
	}
}

// setOutlet places the law of an outlet: the flow at 1 m of head is size times
// unit flow, for the orifice of a lesserLaw size times unitOrifice.
func (p *part) setOutlet(size float64) {
	flow := float64(size * p.size.unit)
	switch p.law {
	case squareLaw:
		p.square = 1 / float64(flow*flow)
	case ratedLaw:
		p.scale = 1 / size
	default:
		p.factor, p.scale = 1/flow, 1/flow
	}
	if p.law == lesserLaw {
		orifice := float64(size * p.size.unitOrifice)
		p.square = 1 / float64(orifice*orifice)
	}
	p.fitKnee()
	p.start = p.flowAt(p.size.startHead)
	if p.state == Open && p.flow == 0 && !p.dead {
		p.flow = p.start
	}
	p.evaluate()
}
