package controller

import "ullage/harness/signal"

// notTwice is how long a start of a programme that has run is not run again, when the clock is put back: common
// practice, no source.
const notTwice = 12 * signal.Hour

// timetable is the clock as a programme sees it.
type timetable interface {
	known() bool // the time of day
	next(from signal.Time, times []signal.Time) signal.Time
}

// programme runs a zone at times of the week. A start that falls into a run prolongs it; one that was missed without
// power is not made up for.
type programme struct {
	call     *call
	clock    timetable
	starts   []signal.Time // times of the week
	run      signal.Time
	notTwice signal.Time

	next  signal.Time   // start
	until signal.Time   // while call is on
	ran   []signal.Time // when each start ran last; below 0: never
}

func (p *programme) reset(now signal.Time) { p.plan(now) }

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

// plan finds the next start from a moment on. Without a time of day there is none.
func (p *programme) plan(from signal.Time) {
	p.next = signal.Never
	if !p.clock.known() {
		return
	}
	for i := range p.starts {
		start := p.starts[i : i+1]
		at := p.clock.next(from, start)
		if p.ran[i] >= 0 && at-p.ran[i] < p.notTwice {
			at = p.clock.next(at+1, start)
		}
		p.next = min(p.next, at)
	}
}

// repeats says whether the next start would come sooner if none that has run were left out.
func (p *programme) repeats(now signal.Time) bool { return p.next != p.clock.next(now, p.starts) }

// runs notes that the starts of a moment have run.
func (p *programme) runs(at signal.Time) {
	for i := range p.starts {
		if p.clock.next(at, p.starts[i:i+1]) == at {
			p.ran[i] = at
		}
	}
}
