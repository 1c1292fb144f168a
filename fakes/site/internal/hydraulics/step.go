package hydraulics

import (
	"math"

	"ullage/harness/signal"
)

// How long a step may be.
const (
	longest      = 3600 // s
	shortest     = 1e-6 // s; below this a step is taken as it is
	firstMoving  = 0.01 // s, first try while a disc moves
	firstResting = 2    // s, first try after an input, or after a stroke
	leastHint    = 1e-3 // s, first try after a very short step
	mostGrowth   = 10   // from one step to the next
	safety       = 0.95 // of the step that would just keep to the tolerances
)

// Step is the present step of the water, and how the next one is found.
type Step struct {
	network
	hint  float64 // length to try next, s
	rough float64 // error of the last step over its length squared; 0 not known
	jump  bool    // an input changed so that flows jump
	calm  bool    // a valve that leaves its seat, or the like, did that: no wave runs
	turn  bool    // an input changed so that a new step must begin

	jumps, turns func(signal.Time) // the effects of knobs that only do that
}

// Jump says that an input has changed so that flows jump: the next step begins at once, from a new solve.
func (s *Step) Jump() { s.jump = true }

// Turn says that an input has changed so that the next step begins at once, from the flows that there are.
func (s *Step) Turn() { s.turn = true }

// Changed reports whether an input has changed since the step began, so that a new one must begin.
func (s *Step) Changed() bool { return s.jump || s.turn }

// Begins is the moment at which the step begins.
func (s *Step) Begins() signal.Time { return s.t0 }

// Ends is the moment at which the step ends at the latest.
func (s *Step) Ends() signal.Time { return s.t1 }

// Seconds is the length of the step.
func (s *Step) Seconds() float64 { return s.dt }

// Begin begins a new step at a moment. After an input that makes flows jump, and where a pump or a tank loses its water
// or finds it again, the network is solved there first, with the levels as they are.
func (s *Step) Begin(at signal.Time) error {
	for _, d := range s.changers {
		if d.change(at) {
			s.jump = true
			_, street := d.(*supply) // whose day goes on in steps that stand for something slow
			s.calm = s.calm || street
		}
	}
	for _, d := range s.deciders {
		if err := d.decide(at); err != nil {
			return err
		}
	}
	if s.jump {
		if err := s.settleJump(at); err != nil {
			return err
		}
	}
	moving := false
	for _, d := range s.settlers {
		moving = d.settled(at) || moving
	}
	switch {
	case moving && (s.jump || s.turn):
		s.hint = firstMoving
	case !moving && (s.jump || s.turn || s.stroke):
		s.hint = firstResting
	}
	if s.jump || s.turn {
		s.rough = 0
	}
	s.jump, s.turn, s.stroke = false, false, moving
	s.t0 = at
	if err := s.search(at); err != nil {
		return err
	}
	for _, t := range s.stores {
		s.bound(t)
	}
	for _, d := range s.bounders {
		d.bound(at)
	}
	for _, d := range s.followers {
		d.Follow(at)
	}
	s.anchor()
	return nil
}

// settleJump solves the network where flows jump, and finds out whether that sends a wave that is not computed.
func (s *Step) settleJump(at signal.Time) error {
	calm := s.calm || at == 0
	s.calm = false
	for _, g := range s.surges {
		g.watch()
	}
	if err := s.settle(at); err != nil {
		return err
	}
	for _, g := range s.surges {
		g.known = g.known || calm
		g.compare(at)
	}
	return nil
}

// search finds the longest step from a moment that keeps to the tolerances.
func (s *Step) search(at signal.Time) error {
	if !s.stroke && s.still() {
		s.span(at, longest)
		s.hint = longest
		return nil
	}
	hint := math.Min(s.hint, longest)
	dt := hint
	for _, t := range s.stores {
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

// coarse rounds a step's length down to ten binary digits. What rounding leaves in the flows then does not reach the
// ends of steps, where it would grow from step to step.
func coarse(dt float64) float64 { return math.Float64frombits(math.Float64bits(dt) &^ (1<<42 - 1)) }

// growth is by how much the step after one that missed by so much may be longer. The error goes with the square of the
// step, and with a roughness that is taken to go on changing as it has changed since the step before.
func (s *Step) growth(miss float64) float64 {
	rough := math.Max(miss, 1e-6) / (s.dt * s.dt)
	trend := 1.0
	if s.rough > 0 {
		trend = math.Min(9, math.Max(0.25, rough/s.rough))
	}
	s.rough = rough
	return math.Min(mostGrowth, math.Max(0.2, safety/math.Sqrt(math.Max(miss, 1e-6)*trend)))
}

// span sets the step's length, to whole nanoseconds. It ends at the latest when a device says so: with the first
// stroke, and when something is due by the time of day or a pump has filled.
func (s *Step) span(at signal.Time, dt float64) {
	s.t1 = at + max(1, signal.FromSeconds(dt))
	for _, d := range s.limiters {
		s.t1 = min(s.t1, d.ends())
	}
	s.dt = (s.t1 - at).Seconds()
}

// still reports whether nothing changes in the course of the step: no tank fills or empties, no mains pressure changes
// and no filter loads up.
func (s *Step) still() bool {
	for _, t := range s.stores {
		if !t.still() {
			return false
		}
	}
	for _, d := range s.movers {
		if !d.still() {
			return false
		}
	}
	return true
}

// bound shortens the step to the first volume at which something changes its law, and to where the level's straight
// line in the trace is good enough.
func (s *Step) bound(t *store) {
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
func (s *Step) shorten(to signal.Time) {
	if to >= s.t1 {
		return
	}
	share := s.Share(to)
	for _, l := range s.lines {
		l.End = l.At(share)
	}
	for _, t := range s.stores {
		t.end = t.start + float64((t.end-t.start)*share)
	}
	s.t1, s.dt = to, (to - s.t0).Seconds()
}

// Cut ends the present step at a moment: what it has done until then is recorded and becomes the state.
func (s *Step) Cut(at signal.Time) {
	if at == s.t0 {
		return
	}
	share := s.Share(at)
	for _, t := range s.stores {
		t.cut(at, share, s.dt)
	}
	for _, d := range s.counters {
		d.Count(at)
	}
	s.RecordLost(at)
	for _, x := range s.totals {
		x.Cut(at, share, s.dt)
	}
	for _, l := range s.lines {
		l.Cut(at, share)
	}
	for _, d := range s.recorders {
		d.cut(at)
	}
	s.t0, s.t1, s.dt = at, at, 0
}

// Close ends the water's run at a moment.
func (s *Step) Close(at signal.Time) {
	if at > s.t0 {
		s.Cut(at)
	}
	for _, g := range s.surges {
		g.record(at)
	}
}

// anchor marks the beginning of every line that does not run level in the step.
func (s *Step) anchor() {
	for _, l := range s.lines {
		if l.Start != l.End {
			l.Anchor()
		}
	}
	for _, t := range s.stores {
		if t.start != 0 || t.end != 0 {
			t.level.Anchor()
		}
	}
	for _, x := range s.totals {
		x.Anchor()
	}
	for _, d := range s.recorders {
		d.anchor()
	}
	if s.losses.more() {
		s.losses.line.Anchor()
	}
}

// OpenLosses declares what the site has lost, with what drains lose besides the network.
func (s *Step) OpenLosses(drains []Drain) {
	s.losses.drains = drains
	s.losses.line = s.Line(signal.Site.Lost())
	s.losses.line.To(0, 0)
}

// RecordLost records what has been lost until a moment of the present step.
func (s *Step) RecordLost(at signal.Time) { s.losses.record(at, s.Share(at), s.dt) }

// AnchorLost records it, and marks that it begins to change.
func (s *Step) AnchorLost(at signal.Time) {
	s.RecordLost(at)
	s.losses.line.Anchor()
}
