package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
)

// fill keeps a tank filled. A start command for its valve is the reset by a person: it ends a lock-out and forgets the
// failed attempts, but the contacts still decide whether water runs.
type fill struct {
	*record
	call       *call
	valve      string
	low, high  *contact // high is nil when the release of low ends a fill
	limit      limit
	attempts   int         // failed ones that lock filling out; 0: none do
	longestRun signal.Time // of the settings
	pause      signal.Time
	alerts     alerter
	tally      *tally
	filling    signal.ID
	locked     signal.ID

	paused signal.Time // no start before
	kept   struct {    // in flash
		failed    int // attempts in a row
		lockedOut bool
	}
}

func (f *fill) reset(signal.Time) { f.paused = 0 }

func (f *fill) wake() signal.Time {
	switch {
	case f.call.on:
		return f.limit.end()
	case f.calledFor() && !f.kept.lockedOut:
		return f.paused
	}
	return signal.Never
}

// calledFor says whether the contacts ask for a fill to begin.
func (f *fill) calledFor() bool { return f.low.filter.state && !f.full() }

// full says whether the contacts ask for a fill to end.
func (f *fill) full() bool {
	if f.high != nil {
		return f.high.filter.state
	}
	return !f.low.filter.state
}

// begin opens the valve.
func (f *fill) begin(now signal.Time) {
	f.limit.start(now)
	f.call.set(true)
	f.tally.today(now).fills++
}

func (f *fill) step(now signal.Time) {
	switch {
	case !f.call.on:
		if f.calledFor() && !f.kept.lockedOut && now >= f.paused {
			f.begin(now)
		}
	case f.full():
		f.call.set(false)
		f.kept.failed = 0
	case f.call.failed:
		f.fail(now)
	case now >= f.limit.end():
		f.alerts.raise(harness.AlertFillTooLong)
		f.fail(now)
	}
	f.putState(f.filling, f.call.on)
	f.putState(f.locked, f.kept.lockedOut)
}

// fail ends a fill that did not fill the tank.
func (f *fill) fail(now signal.Time) {
	f.call.set(false)
	f.paused = now + f.pause
	f.kept.failed++
	if f.attempts > 0 && f.kept.failed >= f.attempts {
		f.kept.lockedOut = true
		f.alerts.raise(harness.AlertFillLockedOut)
	}
}

// hear takes a start command for its valve.
func (f *fill) hear(_ signal.Time, frame harness.Frame) {
	if frame.Kind == harness.Command && frame.Topic == harness.TopicStart && frame.Text == f.valve {
		f.unlock()
	}
}

// unlock is the reset by a person.
func (f *fill) unlock() { f.kept.lockedOut, f.kept.failed, f.paused = false, 0, 0 }
