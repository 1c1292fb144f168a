package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// cutOff shuts outputs the moment its contact operates and lets go when the contact has been released for the debounce.
type cutOff struct {
	c       *Controller
	contact *contact
	filter  filter
	ban     *ban
}

func (w *wiring) cutOff(s sitefile.CutOff) {
	c := w.c
	r := &cutOff{c: c, contact: w.contact("cut-off", s.Contact, harness.ContactTerminal), ban: w.ban("cut-off", s.Shuts)}
	r.filter.off = w.debounce
	c.rules = append(c.rules, r)
}

func (r *cutOff) reset(signal.Time) {
	r.filter.clear()
	r.ban.set(false)
}

func (r *cutOff) wake() signal.Time { return r.filter.wake() }

func (r *cutOff) step(now signal.Time) {
	if r.c.without[harness.CutOff] {
		return
	}
	r.filter.step(now, r.contact.raw)
	if r.filter.state && !r.ban.on {
		r.c.alert(harness.AlertSpill)
	}
	r.ban.set(r.filter.state)
}
