package site

import (
	"fmt"
	"math"

	"ullage/harness/signal"
)

// How closely a step must keep to the truth.
const (
	flowTolerance     = 3e-3 // of a flow: how far its middle may be from the straight line, as a share of what it has reached
	pressureTolerance = 6e-3 // of a pressure, likewise
	leastFlow         = 2e-5 // m³/s, to which a flow is taken to reach at least
	levelTolerance    = 1e-5 // m, error of a level over one step
	longest           = 3600 // s
	shortest          = 1e-6 // s; below this a step is taken as it is
	firstMoving       = 0.02 // s, first try while a disc moves
	firstResting      = 2    // s, first try after an input, or after a stroke
)

// begin starts a new step at a moment. After an input that makes flows jump, and where a pump loses its water or finds it
// again, the network is solved there first, with the levels as they are.
func (s *Site) begin(at signal.Time) error {
	for _, t := range s.tanks {
		if empty := t.volume <= 0 && (t.start < 0 || t.empty); empty != t.empty {
			t.empty, s.jump = empty, true
		}
	}
	for _, p := range s.pumps {
		s.jump = p.choose(s, at) || s.jump
	}
	if s.jump || at == 0 {
		if err := s.settle(at); err != nil {
			return err
		}
	}
	switch {
	case s.moving():
		if s.jump || s.turn {
			s.hint = firstMoving
		}
	case s.jump || s.turn || s.stroke:
		s.hint = firstResting
	}
	s.jump, s.turn, s.stroke = false, false, s.moving()
	s.t0 = at
	if err := s.step(at); err != nil {
		return err
	}
	for _, t := range s.tanks {
		s.meets(t)
	}
	for _, f := range s.floats {
		f.aim(s, at)
	}
	for _, m := range s.meters {
		m.aim(s, at)
	}
	for _, b := range s.beds {
		b.begin(s, at)
		s.tellProbes(at, b)
	}
	s.anchor()
	s.look()
	return nil
}

// anchor marks the beginning of every line that does not run level in the step.
func (s *Site) anchor() {
	for _, c := range s.curves {
		if c.start != c.end {
			c.anchor()
		}
	}
	for _, t := range s.tanks {
		if t.start != 0 || t.end != 0 {
			t.level.anchor()
		}
	}
	for _, x := range s.totals {
		if x.flow.start != 0 || x.flow.end != 0 {
			x.curve.anchor()
		}
	}
	for _, d := range s.drives {
		if d.moving() {
			d.curve.anchor()
		}
	}
	if s.losing() {
		s.lost.anchor()
	}
}

// losing tells whether water is being lost in the present step.
func (s *Site) losing() bool {
	for _, x := range s.totals {
		if x.lost && (x.flow.start != 0 || x.flow.end != 0) {
			return true
		}
	}
	for _, b := range s.beds {
		if b.losing {
			return true
		}
	}
	return false
}

// moving tells whether a disc is on its way.
func (s *Site) moving() bool {
	for _, d := range s.drives {
		if d.moving() {
			return true
		}
	}
	return false
}

// settle solves the network at a moment with every level held, and lets the curves jump there.
func (s *Site) settle(at signal.Time) error {
	s.position(at)
	s.hold(0)
	if err := s.solve(at); err != nil {
		return err
	}
	for _, c := range s.curves {
		c.start = c.read()
		c.end = c.start
		c.to(at, c.start)
	}
	for _, t := range s.tanks {
		t.start = t.net(s.solver.NetInflow(t.node))
		t.end = t.start
		t.level.to(at, t.volume/t.area)
	}
	return nil
}

// position sets every valve as its disc stands at a moment.
func (s *Site) position(at signal.Time) {
	for _, d := range s.drives {
		s.solver.SetKv(d.link, d.kv(at))
	}
}

// hold fixes the levels as they are at a share of the step.
func (s *Site) hold(share float64) {
	for _, t := range s.tanks {
		s.solver.Hold(t.node, t.volumeAt(share, s.dt)/t.area)
	}
}

// fill lets the levels follow from the flows: half is half the step for the trapezoidal rule, with the inflow at the
// start of the step in it, or the whole step for the backward Euler rule, without.
func (s *Site) fill(half float64, euler bool) {
	for _, t := range s.tanks {
		before := t.start
		if euler {
			before = 0
		}
		if t.empty {
			s.solver.Hold(t.node, 0)
			continue
		}
		s.solver.Fill(t.node, t.volume, before+t.inflow-t.draw, half)
	}
}

func (s *Site) solve(at signal.Time) error {
	if err := s.solver.Solve(); err != nil {
		return fmt.Errorf("site %q at %v: %w", s.spec.Name, at, err)
	}
	return nil
}

// step finds the longest step from a moment that keeps to the tolerances.
func (s *Site) step(at signal.Time) error {
	dt := math.Min(s.hint, longest)
	for _, d := range s.drives {
		if d.moving() {
			dt = math.Min(dt, (d.arrives - at).Seconds())
		}
	}
	if !s.stroke && s.still() {
		s.span(at, longest)
		s.hint = longest
		return nil
	}
	for {
		s.span(at, dt)
		miss, err := s.try()
		if err != nil {
			return err
		}
		grow := math.Min(4, math.Max(0.2, 0.9/math.Sqrt(math.Max(miss, 1e-6))))
		if miss <= 1 || dt <= shortest {
			s.hint = math.Max(dt*grow, 1e-3)
			return nil
		}
		dt *= grow
	}
}

// span sets the step's length, to whole nanoseconds.
func (s *Site) span(at signal.Time, dt float64) {
	s.t1 = at + max(1, signal.FromSeconds(dt))
	for _, d := range s.drives {
		if d.moving() && s.t1 > d.arrives-2 {
			s.t1 = d.arrives
		}
	}
	s.dt = (s.t1 - at).Seconds()
}

// still tells whether nothing moves at all: no tank fills or empties and no disc is on its way.
func (s *Site) still() bool {
	for _, t := range s.tanks {
		if math.Abs(t.start) > stray {
			return false
		}
	}
	return true
}

// try takes the step by the trapezoidal rule and returns its error as a multiple of what is allowed.
func (s *Site) try() (miss float64, err error) {
	if err := s.take(s.dt/2, false); err != nil {
		return 0, err
	}
	if over, small := s.overshoots(); over {
		if !small {
			return 4, nil
		}
		return 0, s.euler()
	}
	s.position(s.t0 + (s.t1-s.t0)/2)
	s.hold(0.5)
	if err := s.solve(s.t0); err != nil {
		return 0, err
	}
	for _, c := range s.curves {
		off := math.Abs(c.read() - (c.start+c.end)/2)
		if off > 0 {
			miss = math.Max(miss, off/(c.tolerance*math.Max(c.reach, math.Max(math.Abs(c.start), math.Abs(c.end)))))
		}
	}
	for _, t := range s.tanks {
		off := math.Abs(t.net(s.solver.NetInflow(t.node)) - (t.start+t.end)/2)
		miss = math.Max(miss, off*s.dt*2/3/t.area/levelTolerance)
	}
	return miss, nil
}

// take solves the network at the end of the step.
func (s *Site) take(half float64, euler bool) error {
	s.position(s.t1)
	s.fill(half, euler)
	if err := s.solve(s.t1); err != nil {
		return err
	}
	for _, c := range s.curves {
		c.end = c.read()
	}
	for _, t := range s.tanks {
		t.end = t.net(s.solver.NetInflow(t.node))
	}
	return nil
}

// overshoots tells whether a tank's net inflow has turned round within the step although it was on its way to balance,
// and whether what it still had to go is too little to matter.
func (s *Site) overshoots() (over, small bool) {
	small = true
	for _, t := range s.tanks {
		if t.start != 0 && t.end != 0 && (t.start > 0) != (t.end > 0) && math.Abs(t.end) > 1e-3*math.Abs(t.start) {
			over = true
			small = small && math.Abs(t.start)*s.dt/t.area < levelTolerance*10 && math.Abs(t.start) < leastFlow/10
		}
	}
	return over, small
}

// euler takes the step by the backward Euler rule: the flows of its end hold for the whole of it.
func (s *Site) euler() error {
	if err := s.take(s.dt, true); err != nil {
		return err
	}
	for _, c := range s.curves {
		c.start = c.end
		c.to(s.t0, c.start)
	}
	for _, t := range s.tanks {
		t.start = t.end
	}
	return nil
}

// meets shortens the step to the first level at which something changes its law, and to where the level's straight line in
// the trace is good enough.
func (s *Site) meets(t *tank) {
	if share := t.straight(s.dt); share < 1 {
		s.shorten(s.t0 + max(1, signal.FromSeconds(share*s.dt)))
	}
	for _, level := range t.levels {
		now := t.volume / t.area
		if now != level {
			s.shorten(t.passes(level, now < level, s.t0, s.t0, s.dt))
		}
	}
}

// shorten makes the part of the step until a moment the whole of it.
func (s *Site) shorten(to signal.Time) {
	if to >= s.t1 {
		return
	}
	share := s.share(to)
	for _, c := range s.curves {
		c.end = c.at(share)
	}
	for _, t := range s.tanks {
		t.end = t.start + float64((t.end-t.start)*share)
	}
	s.t1, s.dt = to, (to - s.t0).Seconds()
}
