package controller

import (
	"ullage/harness"
	"ullage/harness/numeric"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

var _ harness.Reacting = (*Controller)(nil)

// Reacts says how the controller reacts: at once, or at its next look when it polls. Contacts have the debounce of the
// settings. Latching valves get their pulses one after another, each out of a capacitor that must first be charged for
// it.
func (c *Controller) Reacts() sitefile.Reacts {
	seconds := func(t signal.Time) quantity.DurationValue { return quantity.DurationValue{}.With(t.Seconds(), 0) }
	var first, all signal.Time // of the pulses that may be due at one moment
	if latching := c.latching.count(); latching > 0 {
		first = c.latching.length + signal.FromSeconds(
			c.latching.store.through*c.latching.store.farads*numeric.Log(1/(1-charged)),
		)
		all = signal.Time(latching) * first
	}
	all = max(all, c.outputs.apart*signal.Time(max(0, len(c.outputs.list)-1)))
	return sitefile.Reacts{
		Polls:        seconds(c.polls),
		ActsWithin:   seconds(c.polls + first),
		AlertsWithin: seconds(c.polls),
		Debounce:     sitefile.DebounceBounds{From: seconds(c.debounce), To: seconds(c.debounce + c.polls)},
		Filter:       seconds(0),
		Stagger:      seconds(all),
		BackOff:      sitefile.BackOff{Least: seconds(firstRetry), Most: seconds(longestRetry)},
		Resends:      seconds(ackWithin),
		SilentAfter:  seconds(c.network.silentFor),
	}
}

// count is how many latching valves there are.
func (l *latching) count() (n int) {
	for _, o := range l.list {
		if o.drive == sitefile.Latching {
			n++
		}
	}
	return n
}
