package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// interlock keeps a pump from running dry. A running pump stops when its contact has been operated for the debounce; a
// standing one does not start before the contact has been released for the debounce of contacts, and not sooner than
// restartIn after the interlock stopped it.
type interlock struct {
	c         *Controller
	pump      int // output
	contact   *contact
	stops     filter // for a running pump
	keeps     filter // for a standing pump
	restartIn signal.Time
	ban       *ban
	restart   signal.Time // no start before
	prevented bool        // the pump is wanted and kept off
	armed     bool        // by a defect that waits for an edge: the contact has been at rest since the boot
}

func (w *wiring) interlock(s sitefile.Interlock) {
	c := w.c
	r := &interlock{c: c, contact: w.contact("interlock", s.BlockedBy, harness.ContactTerminal), restartIn: span(s.RestartIn),
		ban: w.ban("interlock", []string{s.Pump}), pump: c.output(s.Pump)}
	r.ban.passed = c.has(interlockNotRemote)
	r.stops.on = w.filtered(span(s.Debounce))
	if c.has(interlockSlow) {
		r.stops.on = signal.Minute
	}
	r.keeps.off = w.debounce
	c.rules = append(c.rules, r)
}

func (r *interlock) reset(signal.Time) {
	r.stops.clear()
	r.keeps.clear()
	r.ban.set(false)
	r.restart, r.prevented, r.armed = 0, false, !r.c.has(interlockEdge)
}

func (r *interlock) wake() signal.Time {
	if r.c.has(interlockPolled) {
		return r.c.nextMinute()
	}
	next := min(r.stops.wake(), r.keeps.wake())
	if r.ban.on && !r.keeps.state && !r.c.has(interlockStays) {
		next = min(next, r.restart)
	}
	return next
}

func (r *interlock) step(now signal.Time) {
	if r.c.has(noInterlock) || r.c.has(interlockPolled) && now%signal.Minute != 0 && r.c.outputs[r.pump].on {
		return
	}
	r.armed = r.armed || !r.contact.raw
	r.stops.step(now, r.contact.raw && r.armed)
	r.keeps.step(now, r.contact.raw && r.armed)
	if r.c.outputs[r.pump].on {
		if r.stops.state && !r.c.has(interlockAtStart) {
			if r.restart = now + r.restartIn; r.c.has(interlockNoWait) {
				r.restart = now
			}
			r.ban.set(true)
		}
	} else {
		r.ban.set(r.keeps.state || now < r.restart || r.restart > 0 && r.c.has(interlockStays))
	}
	prevented := r.ban.on && r.c.wanted(r.pump)
	if prevented && !r.prevented && !r.c.has(interlockSilent) {
		r.c.alert(harness.AlertDryRun)
	}
	r.prevented = prevented
}
