package hydraulics

import (
	"fmt"
	"math"

	"ullage/fakes/pipework"
	"ullage/fakes/site/internal/device"
	"ullage/fakes/water"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// network is what a step is solved on: the network of pipes, and the lines, totals and stores that run through the
// step.
type network struct {
	*device.Bench
	Spec   *sitefile.Site
	plan   *pipework.Plan
	solver *water.Solver
	lowest float64 // Pa above that of the air, pressure of the water's vapour

	flows  map[string]*device.Line // by device
	lines  []*device.Line          // whose values come from a solve
	totals []*device.Total
	stores []*store
	losses losses
	surges []*surges
	roles

	t0, t1 signal.Time // the present step
	dt     float64     // its length in seconds
	stroke bool        // a disc moves in it
}

// try takes the step by the trapezoidal rule and returns its error as a multiple of what is allowed.
func (s *network) try() (miss float64, err error) {
	if err := s.take(s.dt/2, 1); err != nil {
		return 0, err
	}
	if over, small := s.overshoots(); over {
		if !small {
			return 4, nil
		}
		return 0, s.euler()
	}
	s.arrange(s.t0 + (s.t1-s.t0)/2)
	s.hold(0.5)
	if err := s.solve(s.t0); err != nil {
		return 0, err
	}
	for _, l := range s.lines {
		miss = math.Max(miss, l.Miss())
	}
	for _, t := range s.stores {
		off := math.Abs(t.net(s.inflow(t)) - (t.start+t.end)/2)
		miss = math.Max(miss, off*s.dt*2/3/t.area/t.tolerance)
	}
	for _, d := range s.approximations {
		miss = math.Max(miss, d.miss())
	}
	return miss, nil
}

// overshoots reports whether a tank's net inflow has turned round within the step although it was on its way to
// balance, and whether what it still had to go is too little to matter. While a disc moves it may well turn round.
func (s *network) overshoots() (over, small bool) {
	small = true
	for _, t := range s.stores {
		if !s.stroke && t.start != 0 && t.end != 0 && (t.start > 0) != (t.end > 0) &&
			math.Abs(t.end) > 1e-3*math.Abs(t.start) {
			over = true
			small = small && math.Abs(t.start)*s.dt/t.area < t.tolerance*10 && math.Abs(t.start) < leastFlow/10
		}
	}
	return over, small
}

// euler takes the step by the backward Euler rule: the flows of its end hold for the whole of it.
func (s *network) euler() error {
	if err := s.take(s.dt, 0); err != nil {
		return err
	}
	for _, l := range s.lines {
		l.Start = l.End
		l.To(s.t0, l.Start)
	}
	for _, t := range s.stores {
		t.start = t.end
	}
	return nil
}

// mostReviews is how often a settled network is solved again because pipes let air in or are full again.
const mostReviews = 8

// settle solves the network at a moment with every level held, and lets the lines jump there.
func (s *network) settle(at signal.Time) error {
	for again, rounds := true, 0; again && rounds < mostReviews; rounds++ {
		s.arrange(at)
		s.hold(0)
		if err := s.solve(at); err != nil {
			return err
		}
		again = false
		for _, d := range s.reviewers {
			again = d.review(at) || again
		}
	}
	for _, l := range s.lines {
		l.Jump(at)
	}
	for _, t := range s.stores {
		t.start = t.net(s.inflow(t))
		t.end = t.start
		t.level.To(at, t.shown())
	}
	return nil
}

// take solves the network at the end of the step, where the levels follow from the flows: half is half the step for the
// trapezoidal rule, with the inflow at the start of the step in it (before is 1), or the whole step for the backward
// Euler rule, without (before is 0).
func (s *network) take(half, before float64) error {
	s.arrange(s.t1)
	for _, t := range s.stores {
		if t.dry {
			s.solver.Hold(t.node, 0)
		} else {
			s.solver.Fill(t.node, t.volume, float64(t.start*before)+t.rain-t.asked(), half)
		}
	}
	if err := s.solve(s.t1); err != nil {
		return err
	}
	for _, l := range s.lines {
		l.End = l.Read()
	}
	for _, t := range s.stores {
		t.end = t.net(s.inflow(t))
	}
	return nil
}

// arrange sets everything that goes on changing within a step as it is at a moment.
func (s *network) arrange(at signal.Time) {
	for _, d := range s.movers {
		d.set(at)
	}
}

// instant is a time in which no level changes, s.
const instant = 1e-9

// hold fixes the levels as they are at a share of the step. Filling for an instant does it without a change of the
// solver's equations, which would have it look anew at what water reaches.
func (s *network) hold(share float64) {
	for _, t := range s.stores {
		if t.dry {
			s.solver.Hold(t.node, 0)
		} else {
			s.solver.Fill(t.node, t.volumeAt(share, s.dt), 0, instant)
		}
	}
}

// inflow is what the network brings to a tank, less what it takes.
func (s *network) inflow(t *store) float64 { return withoutRounding(s.solver.NetInflow(t.node)) }

func (s *network) solve(at signal.Time) error {
	if err := s.solver.Solve(); err != nil {
		return fmt.Errorf("site %q at %v: %w", s.Spec.Name, at, err)
	}
	return nil
}

// Share is how far a moment is into the step, 0 to 1.
func (s *network) Share(at signal.Time) float64 {
	if at >= s.t1 {
		return 1
	}
	return (at - s.t0).Seconds() / s.dt
}
