package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// fill keeps a tank filled. A start command for its valve is the reset by a person: it ends a lock-out and forgets the
// failed attempts, but the contacts still decide whether water runs.
type fill struct {
	c          *Controller
	call       *call
	valve      string
	low, high  *contact // high is nil when the release of low ends a fill
	longestRun signal.Time
	attempts   int
	pause      signal.Time

	began  signal.Time // while call is on
	paused signal.Time // no start before
	lowWas bool        // the low contact at the last step
	wrap   wrap        // the counter's ends within its longest run
}

func (w *wiring) fill(s sitefile.Fill) {
	c := w.c
	f := &fill{c: c, call: w.call("fill", s.Valve, s.With), valve: s.Valve, low: w.contact("fill", s.Low, harness.ContactTerminal),
		longestRun: span(s.LongestRun), attempts: s.Attempts, pause: span(s.Pause)}
	if s.High != "" {
		f.high = w.contact("fill", s.High, harness.ContactTerminal)
	}
	c.fill = f
	c.rules = append(c.rules, f)
}

func (f *fill) reset(now signal.Time) {
	f.paused = 0
	if f.c.has(lockOutForgotten) {
		f.unlock()
	}
	if f.c.has(attemptsForgotten) {
		f.c.flash.attempts = 0
	}
	if f.c.has(fillsAtBoot) && f.c.flash.boots > 1 {
		f.begin(now)
	}
}

// limited says whether a fill has a longest run.
func (f *fill) limited() bool {
	return f.longestRun > 0 && !f.c.missed(f.wrap) && !f.c.has(noLongestRun) && (!f.c.has(longestRunInCloud) || f.c.network.link == up)
}

func (f *fill) wake() signal.Time {
	switch {
	case f.call.on && f.limited():
		return f.began + f.longestRun
	case !f.call.on && f.calledFor() && !f.c.flash.lockedOut:
		return f.paused
	}
	return signal.Never
}

// calledFor says whether the contacts ask for a fill to begin.
func (f *fill) calledFor() bool { return f.low.filter.state && !f.full() }

// full says whether the contacts ask for a fill to end.
func (f *fill) full() bool {
	if f.high != nil {
		return f.high.filter.state && !(f.c.has(lowWins) && f.low.filter.state)
	}
	return !f.low.filter.state
}

// begin opens the valve.
func (f *fill) begin(now signal.Time) {
	if !f.c.has(fillTimeNotRenewed) || f.c.flash.attempts == 0 {
		f.began = now
	}
	f.wrap = f.c.wraps(f.began, f.began+f.longestRun)
	f.call.set(true)
	f.c.today(now).fills++
}

func (f *fill) step(now signal.Time) {
	if f.lowWas != f.low.filter.state && f.c.has(longestRunRenewed) {
		f.began = now
	}
	f.lowWas = f.low.filter.state
	switch {
	case !f.call.on:
		if f.calledFor() && !f.c.flash.lockedOut && now >= f.paused {
			f.begin(now)
		}
	case f.full():
		f.call.set(false)
		if !f.c.has(attemptsNotCleared) {
			f.c.flash.attempts = 0
		}
	case f.call.failed:
		f.fail(now)
	case f.limited() && now >= f.began+f.longestRun:
		f.c.alert(harness.AlertFillTooLong)
		f.fail(now)
	}
	f.c.putState(f.c.signals.filling, f.call.on)
	f.c.putState(f.c.signals.lockedOut, f.c.flash.lockedOut)
}

// fail ends a fill that did not fill the tank.
func (f *fill) fail(now signal.Time) {
	f.call.set(false)
	if f.paused = now + f.pause; f.c.has(noPause) {
		f.paused = now
	}
	if f.c.has(pauseFromStart) {
		f.paused = f.began + f.pause
	}
	f.c.flash.attempts++
	if f.attempts > 0 && f.c.flash.attempts >= f.attempts && !f.c.has(noLockOut) {
		f.c.flash.lockedOut = true
		if !f.c.has(lockOutSilent) {
			f.c.alert(harness.AlertFillLockedOut)
		}
	}
}

// unlock is the reset by a person.
func (f *fill) unlock() {
	f.c.flash.lockedOut, f.c.flash.attempts, f.paused = false, 0, 0
}
