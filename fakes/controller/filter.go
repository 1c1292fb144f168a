package controller

import "ullage/harness/signal"

// filter debounces: a change of the raw state counts when it has lasted.
type filter struct {
	on, off signal.Time // how long the raw state must last to turn the filter on, off
	state   bool
	pending bool        // the raw state differs from state
	since   signal.Time // from when on it does
}

func (f *filter) step(now signal.Time, raw bool) {
	if raw == f.state {
		f.pending = false
		return
	}
	if !f.pending {
		f.pending, f.since = true, now
	}
	if now >= f.wake() {
		f.state, f.pending = raw, false
	}
}

func (f *filter) wake() signal.Time {
	switch {
	case !f.pending:
		return signal.Never
	case f.state:
		return f.since + f.off
	}
	return f.since + f.on
}

// clear forgets the past: not operated.
func (f *filter) clear() { f.state, f.pending = false, false }
