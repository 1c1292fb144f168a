package controller

import (
	"slices"

	"ullage/harness"
	"ullage/harness/signal"
)

// flow compares the pulses of the meter with the outputs whose water passes it.
type flow struct {
	meter       *contact
	outputs     *outputs
	counts      []int   // outputs
	calls       []*call // for water that passes the meter
	alerts      alerter
	noFlowAfter signal.Time
	settles     signal.Time
	within      signal.Time

	seen    int           // closures of the meter
	calling bool          // one of the outputs is on
	last    signal.Time   // calling: last pulse, or begin of the call
	settled signal.Time   // not calling: pulses before belong to the last call
	stray   []signal.Time // moments of the latest pulses without a call, a ring
	strays  int           // how many since the last alert or call
}

func (f *flow) reset(now signal.Time) {
	f.seen, f.calling, f.settled, f.strays = f.meter.closures, false, now+f.settles, 0
}

func (f *flow) wake() signal.Time {
	if f.calling {
		return f.last + f.noFlowAfter
	}
	return signal.Never
}

func (f *flow) step(now signal.Time) {
	pulsed := f.meter.closures != f.seen
	f.seen = f.meter.closures
	calling := slices.ContainsFunc(f.counts, f.outputs.on)
	switch {
	case calling && (!f.calling || pulsed):
		f.last, f.strays = now, 0
	case !calling && f.calling:
		f.settled = now + f.settles
	case !calling && pulsed && now >= f.settled:
		f.strayed(now)
	}
	f.calling = calling
	if calling && now >= f.last+f.noFlowAfter {
		f.last = now
		f.alerts.raise(harness.AlertNoFlow)
		for _, k := range f.calls {
			if k.on {
				k.fail()
			}
		}
	}
}

// strayed notes a pulse without a call, and raises the alarm when enough came in time.
func (f *flow) strayed(now signal.Time) {
	n := len(f.stray)
	f.stray[f.strays%n] = now
	f.strays++
	if f.strays >= n && now-f.stray[f.strays%n] <= f.within {
		f.strays = 0
		f.alerts.raise(harness.AlertFlowWithoutCall)
	}
}
