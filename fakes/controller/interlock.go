package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
)

// interlock keeps a pump from running dry. A running pump stops when its contact has been operated for the debounce; a
// standing one does not start before the contact has been released for the debounce of contacts, and not sooner than
// restartIn after the interlock stopped it.
type interlock struct {
	contact   *contact
	pump      int // output
	outputs   *outputs
	demand    *demand
	ban       *ban
	alerts    alerter
	stops     filter // for a running pump
	keeps     filter // for a standing pump
	restartIn signal.Time

	restart   signal.Time // no start before
	prevented bool        // the pump is wanted and kept off
}

func (r *interlock) reset(signal.Time) {
	r.stops.clear()
	r.keeps.clear()
	r.ban.set(false)
	r.restart, r.prevented = 0, false
}

func (r *interlock) wake() signal.Time {
	next := min(r.stops.wake(), r.keeps.wake())
	if r.ban.on && !r.keeps.state {
		next = min(next, r.restart)
	}
	return next
}

func (r *interlock) step(now signal.Time) {
	r.stops.step(now, r.contact.raw)
	r.keeps.step(now, r.contact.raw)
	if !r.outputs.on(r.pump) {
		r.ban.set(r.keeps.state || now < r.restart)
	} else if r.stops.state {
		r.restart = now + r.restartIn
		r.ban.set(true)
	}
	prevented := r.ban.on && r.demand.wanted(r.pump)
	if prevented && !r.prevented {
		r.alerts.raise(harness.AlertDryRun)
	}
	r.prevented = prevented
}
