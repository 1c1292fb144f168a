package site

import (
	"math"

	"ullage/harness/signal"
)

// How closely a step must keep to the truth.
const (
	flowTolerance     = 3e-3 // of a flow: how far its middle may be from the straight line, as a share of what it has reached
	pressureTolerance = 6e-3 // of a pressure, likewise
	levelTolerance    = 1e-5 // m, error of a level over one step
	levelBend         = 2e-5 // m, by how much the trace's straight lines may miss the level between two points
	loadingTolerance  = 1e-5 // of a filter's passage, error of its loading over one step
	cushionTolerance  = 1e-4 // of the size of a pressure vessel: both for the water in it
	longest           = 3600 // s
	shortest          = 1e-6 // s; below this a step is taken as it is
	firstMoving       = 0.01 // s, first try while a disc moves
	firstResting      = 2    // s, first try after an input, or after a stroke
	leastHint         = 1e-3 // s, first try after a very short step
	mostGrowth        = 10   // from one step to the next
	safety            = 0.95 // of the step that would just keep to the tolerances
)

// begin starts a new step at a moment. After an input that makes flows jump, and where a pump or a tank loses its water or
// finds it again, the network is solved there first, with the levels as they are.
func (s *Site) begin(at signal.Time) error {
	for _, t := range s.tanks {
		s.jump = t.look() || s.jump
		for _, d := range t.dips {
			s.jump = d.look(t, s.solver) || s.jump
		}
		if t.changes <= at {
			s.jump = s.drawOn(t, at) || s.jump
		}
	}
	for _, m := range s.mains {
		s.jump = m.pass(at) || s.jump
	}
	for _, p := range s.pumps {
		s.jump = p.look(at) || s.jump
		p.run(s, at)
	}
	s.turnPilots(at)
	if s.jump {
		if err := s.settle(at); err != nil {
			return err
		}
	}
	s.regardPilots(at)
	s.recordSurges(at)
	switch moving := s.moving(); {
	case moving && (s.jump || s.turn):
		s.hint = firstMoving
	case !moving && (s.jump || s.turn || s.stroke):
		s.hint = firstResting
	}
	if s.jump || s.turn {
		s.rough = 0
	}
	s.jump, s.turn, s.stroke = false, false, s.moving()
	s.t0 = at
	if err := s.step(at); err != nil {
		return err
	}
	for _, t := range s.tanks {
		s.bound(t)
	}
	s.meetPilots()
	for _, x := range s.sloshes {
		x.begin(s, at)
	}
	for _, f := range s.floats {
		f.aim(s, at)
	}
	for _, m := range s.meters {
		m.aim(s, at)
	}
	for _, w := range s.sprinklers {
		w.aim(s, at)
	}
	for _, b := range s.beds {
		if !b.goesOn(s, at) {
			b.begin(s, at)
		}
	}
	s.anchor()
	s.look()
	return nil
}

// step finds the longest step from a moment that keeps to the tolerances.
func (s *Site) step(at signal.Time) error {
	if !s.stroke && s.still() {
		s.span(at, longest)
		s.hint = longest
		return nil
	}
	hint := math.Min(s.hint, longest)
	dt := hint
	for _, t := range s.tanks {
		dt = math.Min(dt, t.ahead())
	}
	for {
		s.span(at, coarse(dt))
		miss, err := s.try()
		if err != nil {
			return err
		}
		if miss <= 1 || s.dt <= shortest {
			s.hint = math.Max(s.dt*s.growth(miss), leastHint)
			if dt < hint && s.dt == dt { // it was short for another reason
				s.hint = math.Max(s.hint, hint)
			}
			return nil
		}
		hint = 0
		dt = s.dt * math.Min(0.9, math.Max(0.2, safety/math.Sqrt(miss)))
	}
}

// coarse rounds a step's length down to ten binary digits. What rounding leaves in the flows then does not reach the ends
// of steps, where it would grow from step to step.
func coarse(dt float64) float64 { return math.Float64frombits(math.Float64bits(dt) &^ (1<<42 - 1)) }

// growth is by how much the step after one that missed by so much may be longer. The error goes with the square of the
// step, and with a roughness that is taken to go on changing as it has changed since the step before.
func (s *Site) growth(miss float64) float64 {
	rough := math.Max(miss, 1e-6) / (s.dt * s.dt)
	trend := 1.0
	if s.rough > 0 {
		trend = math.Min(9, math.Max(0.25, rough/s.rough))
	}
	s.rough = rough
	return math.Min(mostGrowth, math.Max(0.2, safety/math.Sqrt(math.Max(miss, 1e-6)*trend)))
}

// span sets the step's length, to whole nanoseconds. It ends at the latest with the first stroke, and when something is
// due by the time of day or a pump has filled.
func (s *Site) span(at signal.Time, dt float64) {
	s.t1 = at + max(1, signal.FromSeconds(dt))
	for _, d := range s.drives {
		s.t1 = min(s.t1, d.arrives)
	}
	for _, d := range s.pilots {
		s.t1 = min(s.t1, d.pilot.turns)
	}
	for _, m := range s.mains {
		s.t1 = min(s.t1, m.until)
	}
	for _, t := range s.tanks {
		s.t1 = min(s.t1, t.changes)
	}
	for _, p := range s.pumps {
		s.t1 = min(s.t1, p.primes)
	}
	s.dt = (s.t1 - at).Seconds()
}

// still tells whether no tank fills or empties, no mains pressure changes and no filter loads up.
func (s *Site) still() bool {
	for _, t := range s.tanks {
		if math.Abs(t.start) > stray {
			return false
		}
	}
	for _, m := range s.mains {
		if m.from != m.to {
			return false
		}
	}
	for _, f := range s.filters {
		if f.loads() {
			return false
		}
	}
	return true
}

// try takes the step by the trapezoidal rule and returns its error as a multiple of what is allowed.
func (s *Site) try() (miss float64, err error) {
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
	for _, c := range s.curves {
		if off := math.Abs(c.read() - (c.start+c.end)/2); off > 0 {
			miss = math.Max(miss, off/(c.tolerance*math.Max(c.reach, math.Max(math.Abs(c.start), math.Abs(c.end)))))
		}
	}
	for _, t := range s.tanks {
		off := math.Abs(t.net(s.inflow(t)) - (t.start+t.end)/2)
		miss = math.Max(miss, off*s.dt*2/3/t.area/t.tolerance)
	}
	for _, f := range s.filters {
		miss = math.Max(miss, f.miss(s.dt))
	}
	return miss, nil
}

// overshoots tells whether a tank's net inflow has turned round within the step although it was on its way to balance,
// and whether what it still had to go is too little to matter. While a disc moves it may well turn round.
func (s *Site) overshoots() (over, small bool) {
	small = true
	for _, t := range s.tanks {
		if !s.stroke && t.start != 0 && t.end != 0 && (t.start > 0) != (t.end > 0) && math.Abs(t.end) > 1e-3*math.Abs(t.start) {
			over = true
			small = small && math.Abs(t.start)*s.dt/t.area < t.tolerance*10 && math.Abs(t.start) < leastFlow/10
		}
	}
	return over, small
}

// euler takes the step by the backward Euler rule: the flows of its end hold for the whole of it.
func (s *Site) euler() error {
	if err := s.take(s.dt, 0); err != nil {
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

// bound shortens the step to the first volume at which something changes its law, and to where the level's straight line in
// the trace is good enough.
func (s *Site) bound(t *tank) {
	if share := t.straight(s.dt); share < 1 {
		s.shorten(s.t0 + max(1, signal.FromSeconds(share*s.dt)))
	}
	for _, mark := range t.marks {
		if t.volume != mark {
			s.shorten(t.meets(mark, t.volume < mark, s.t0, s.t0, s.dt))
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
