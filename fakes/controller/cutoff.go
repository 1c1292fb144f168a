package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
)

// cutOff shuts outputs the moment its contact operates and lets go when the contact has been released for the debounce.
type cutOff struct {
	contact *contact
	filter  filter
	ban     *ban
	alerts  alerter

	operated bool // at the last step
}

func (r *cutOff) reset(signal.Time) {
	r.filter.clear()
	r.operated = false
	r.ban.set(false)
}

func (r *cutOff) wake() signal.Time { return r.filter.wake() }

func (r *cutOff) step(now signal.Time) {
	r.filter.step(now, r.contact.raw)
	began := r.filter.state && !r.operated
	r.operated = r.filter.state
	if began {
		r.alerts.raise(harness.AlertSpill)
	}
	r.ban.set(r.filter.state)
}
