package controller

import (
	"time"

	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// programme runs a zone at times of the week. A start that falls into a run prolongs it; one that was missed without
// power is not made up for.
type programme struct {
	c      *Controller
	call   *call
	starts []signal.Time // times of the week
	run    signal.Time

	next  signal.Time   // start
	until signal.Time   // while call is on
	begun bool          // the loop has run before
	ran   []signal.Time // when each start ran last; below 0: never
}

func (w *wiring) programme(s sitefile.Programme) {
	name := "programme of " + s.Zone
	p := &programme{c: w.c, call: w.call(name, s.Zone, s.With), run: w.positive(name, "run", s.Run)}
	for _, day := range w.days(name, s.Days) {
		for _, start := range s.Starts {
			at, err := sitefile.TimeOfDay(start)
			if err != nil {
				w.refusef("%s: starts has %q, want %w", name, start, err)
			}
			p.starts = append(p.starts, timeOfWeek(day, at))
		}
	}
	w.c.rules = append(w.c.rules, p)
}

// days reads days of the week; none given are all.
func (w *wiring) days(rule string, names []string) []time.Weekday {
	if len(names) == 0 {
		return []time.Weekday{0, 1, 2, 3, 4, 5, 6}
	}
	var list []time.Weekday
	for _, name := range names {
		day, err := sitefile.Weekday(name)
		if err != nil {
			w.refusef("%s: days has %q, want %w", rule, name, err)
		}
		list = append(list, day)
	}
	return list
}

func (p *programme) reset(now signal.Time) {
	if p.begun && p.c.has(startsMadeUp) {
		return
	}
	if p.begun && now < p.until && p.c.has(programmeResumes) {
		p.until = now + p.run
		p.call.set(true)
	}
	p.plan(now)
	p.begun = true
}

func (p *programme) wake() signal.Time {
	if p.call.on {
		return min(p.next, p.until)
	}
	return p.next
}

func (p *programme) step(now signal.Time) {
	switch {
	case now >= p.next:
		p.runs(p.next)
		p.plan(now + 1)
		p.until = now + p.run
		p.call.set(true)
	case p.call.on && (p.call.failed || now >= p.until):
		p.call.set(false)
	}
}
