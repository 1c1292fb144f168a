package controller

import (
	"slices"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
)

// Defect is one mistake that firmware really makes. The controller can be built with it, to show that a suite notices.
// The control code knows nothing of it: once New has put a sound controller together, a defect changes a setting, puts
// another rule in the place of one, or stands between a rule and what it sees.
type Defect struct {
	ID      string          // "no-longest-run"
	Mistake string          // what the firmware does
	Hazards []fault.Hazard  // that it lets happen
	Takes   harness.Ability // the protection that is missing whole; "" where one is there and spoilt

	weave func(*Controller) // builds it into a sound controller
}

func hazards(list ...fault.Hazard) []fault.Hazard { return list }

// long is a time that never passes in a run, and that can be added to any moment of one.
const long = 36500 * signal.Day

// spoilt stands in the place of a rule. A function that is left out is the rule's.
type spoilt struct {
	rule
	resets func(now signal.Time)
	wakes  func() signal.Time
	steps  func(now signal.Time)
	hears  func(now signal.Time, f harness.Frame)
}

func (s *spoilt) reset(now signal.Time) {
	if s.resets == nil {
		s.rule.reset(now)
		return
	}
	s.resets(now)
}

func (s *spoilt) wake() signal.Time {
	if s.wakes == nil {
		return s.rule.wake()
	}
	return s.wakes()
}

func (s *spoilt) step(now signal.Time) {
	if s.steps == nil {
		s.rule.step(now)
		return
	}
	s.steps(now)
}

func (s *spoilt) hear(now signal.Time, f harness.Frame) {
	if l, ok := s.rule.(listener); ok && s.hears == nil {
		l.hear(now, f)
	} else if s.hears != nil {
		s.hears(now, f)
	}
}

// spoil puts other steps in the place of a rule's.
func (c *Controller) spoil(r rule, s spoilt) {
	for _, e := range c.schedule.all {
		if e.rule == r {
			s.rule = r
			e.rule = &s
		}
	}
}

// remove takes a rule out.
func (c *Controller) remove(r rule) {
	without := func(e *entry) bool { return e.rule == r }
	c.schedule.all = slices.DeleteFunc(c.schedule.all, without)
	c.schedule.use(true)
}

// watch is a rule that does something at each boot, before all others.
type watch struct{ boots func(now signal.Time) }

func (w watch) reset(now signal.Time) { w.boots(now) }
func (w watch) wake() signal.Time     { return signal.Never }
func (w watch) step(signal.Time)      {}

// atEachBoot does something as the control loop begins, before the rules are reset.
func (c *Controller) atEachBoot(do func(now signal.Time)) {
	c.schedule.all = slices.Insert(c.schedule.all, 0, &entry{rule: watch{do}, due: signal.Never, always: true})
	c.schedule.use(true)
}

// muted keeps alerts back: those of the names given, or all.
type muted struct {
	alerter
	names []string
}

func (m muted) raise(name string) {
	if m.names != nil && !slices.Contains(m.names, name) {
		m.alerter.raise(name)
	}
}

// aside is a ban that forbids nothing: a rule decides it, and a defect decides what comes of that.
func aside(b *ban) *ban { return &ban{loop: &loop{}, outputs: b.outputs} }
