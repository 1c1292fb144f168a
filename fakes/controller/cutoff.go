package controller

import (
	"slices"

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

	operated bool // at the last step
	armed    bool // by a defect that waits for an edge: the contact has been at rest since the boot
}

func (w *wiring) cutOff(s sitefile.CutOff) {
	c := w.c
	r := &cutOff{c: c, contact: w.contact("cut-off", s.Contact, harness.ContactTerminal), ban: w.ban("cut-off", s.Shuts)}
	r.filter.off = w.debounce
	if c.has(cutOffSlow) {
		r.filter.on = 30 * signal.Second
	}
	if c.has(cutOffOneOutput) {
		r.ban.outputs = r.ban.outputs[:min(1, len(r.ban.outputs))]
	}
	c.rules = append(c.rules, r)
}

func (r *cutOff) reset(signal.Time) {
	r.filter.clear()
	r.operated, r.armed = false, !r.c.has(cutOffEdge)
	r.ban.set(false)
}

func (r *cutOff) wake() signal.Time {
	if r.c.has(cutOffPolled) && r.contact.raw != r.filter.state {
		return r.c.nextMinute()
	}
	return r.filter.wake()
}

func (r *cutOff) step(now signal.Time) {
	if r.skips(now) {
		return
	}
	r.armed = r.armed || !r.contact.raw
	r.filter.step(now, r.contact.raw && r.armed)
	began := r.filter.state && !r.operated
	r.operated = r.filter.state
	if began && !r.c.has(cutOffSilent) {
		r.c.alert(harness.AlertSpill)
	}
	if r.c.has(cutOffPulse) {
		r.pulse(began)
		return
	}
	r.ban.set(r.filter.state || r.ban.on && r.c.has(cutOffStays))
}

// skips says whether a defect keeps the cut-off from being looked at.
func (r *cutOff) skips(now signal.Time) bool {
	open := func(i int) bool { return r.c.outputs[i].on }
	return r.c.has(noCutOff) || r.c.has(cutOffAtStart) && slices.ContainsFunc(r.ban.outputs, open) ||
		r.c.has(cutOffPolled) && now%signal.Minute != 0
}

// pulse ends the runs under way, as a defect does that shuts once.
func (r *cutOff) pulse(began bool) {
	for _, k := range r.c.calls {
		if began && k.on && slices.ContainsFunc(k.outputs, func(i int) bool { return slices.Contains(r.ban.outputs, i) }) {
			k.failed = true
			r.c.stirred = true
		}
	}
}
