package site

import (
	"fmt"

	"ullage/harness/signal"
)

// settle solves the network at a moment with every level held, and lets the curves jump there.
func (s *Site) settle(at signal.Time) error {
	for _, f := range s.filters {
		f.jump(at)
	}
	s.arrange(at)
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
		t.start = t.net(s.inflow(t))
		t.end = t.start
		t.level.to(at, t.shown())
	}
	return nil
}

// take solves the network at the end of the step, where the levels follow from the flows: half is half the step for the
// trapezoidal rule, with the inflow at the start of the step in it (before is 1), or the whole step for the backward Euler
// rule, without (before is 0).
func (s *Site) take(half, before float64) error {
	s.arrange(s.t1)
	for _, t := range s.tanks {
		if t.dry {
			s.solver.Hold(t.node, 0)
		} else {
			s.solver.Fill(t.node, t.volume, float64(t.start*before)+t.inflow-t.asked(), half)
		}
	}
	if err := s.solve(s.t1); err != nil {
		return err
	}
	for _, c := range s.curves {
		c.end = c.read()
	}
	for _, t := range s.tanks {
		t.end = t.net(s.inflow(t))
	}
	return nil
}

// instant is a time in which no level changes, s.
const instant = 1e-9

// hold fixes the levels as they are at a share of the step. Filling for an instant does it without a change of the
// solver's equations, which would have it look anew at what water reaches.
func (s *Site) hold(share float64) {
	for _, t := range s.tanks {
		if t.dry {
			s.solver.Hold(t.node, 0)
		} else {
			s.solver.Fill(t.node, t.volumeAt(share, s.dt), 0, instant)
		}
	}
}

func (s *Site) solve(at signal.Time) error {
	if err := s.solver.Solve(); err != nil {
		return fmt.Errorf("site %q at %v: %w", s.spec.Name, at, err)
	}
	return nil
}

// inflow is what the network brings to a tank, less what it takes.
func (s *Site) inflow(t *tank) float64 { return clean(s.solver.NetInflow(t.node)) }
