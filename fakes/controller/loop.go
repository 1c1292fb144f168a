package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
)

// loop is what every part of the control loop shares: the present moment, and whether something has changed at it that
// other parts look at.
type loop struct {
	now     signal.Time
	changed bool // every rule is to be stepped
}

// rule is one small state machine. Whatever changes something that another rule looks at sets loop.changed: every rule
// is then stepped, and the moments of their wakes are asked for again.
type rule interface {
	reset(now signal.Time) // the control loop begins with an empty memory
	wake() signal.Time     // when step would do something although nothing else changes
	step(now signal.Time)  // does what is due; stepping again at the same moment changes nothing
}

// listener is a rule that takes frames from the network. It ignores those that are for others.
type listener interface {
	hear(now signal.Time, f harness.Frame)
}

// entry is a rule in the schedule.
type entry struct {
	rule
	due    signal.Time // its wake, as it was after its last step
	always bool        // in use without settings as well
}

// schedule steps the rules in the order of cause.
type schedule struct {
	*loop
	all   []*entry
	inUse []*entry
	due   signal.Time                     // of the next wake of those in use
	pace  func(t signal.Time) signal.Time // first moment, not before t, at which the rules are stepped; nil: t
}

func (s *schedule) add(r rule) *entry {
	e := &entry{rule: r}
	s.all = append(s.all, e)
	return e
}

// use takes all rules into use, or only those that need no settings.
func (s *schedule) use(settings bool) {
	s.inUse = s.inUse[:0]
	for _, e := range s.all {
		if settings || e.always {
			s.inUse = append(s.inUse, e)
		}
	}
}

// begin resets every rule.
func (s *schedule) begin() {
	s.due = signal.Never
	for _, e := range s.inUse {
		e.reset(s.now)
		e.due = e.wake()
		s.due = min(s.due, e.due)
	}
}

// rouse has one rule look at the present moment, without the others.
func (s *schedule) rouse(e *entry) { e.due, s.due = s.now, s.now }

// tick is the first moment, not before t, at which the rules are stepped.
func (s *schedule) tick(t signal.Time) signal.Time {
	if s.pace == nil {
		return t
	}
	return s.pace(t)
}

// wake is when the next rule is due.
func (s *schedule) wake() signal.Time {
	if s.changed {
		return s.tick(s.now)
	}
	return s.tick(s.due)
}

// step steps what is due and, once something has changed, every rule that comes after it in the order of cause.
func (s *schedule) step(all bool) {
	s.due = signal.Never
	for _, e := range s.inUse {
		if all || s.changed || e.due <= s.now {
			e.step(s.now)
			e.due = e.wake()
		}
		s.due = min(s.due, e.due)
	}
}

// hear gives a frame to every rule that takes frames.
func (s *schedule) hear(f harness.Frame) {
	for _, e := range s.inUse {
		if l, ok := e.rule.(listener); ok {
			l.hear(s.now, f)
		}
	}
	s.changed = true
}
