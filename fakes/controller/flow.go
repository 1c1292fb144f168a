package controller

import (
	"slices"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// flow compares the pulses of the meter with the outputs whose water passes it.
type flow struct {
	c           *Controller
	meter       *contact
	counts      []int // outputs
	noFlowAfter signal.Time
	settles     signal.Time
	within      signal.Time

	seen    int           // closures of the meter
	calling bool          // one of the outputs is on
	last    signal.Time   // calling: last pulse, or begin of the call
	settled signal.Time   // not calling: pulses before belong to the last call
	stray   []signal.Time // moments of the latest pulses without a call, a ring
	strays  int           // how many since the last alert or call
	said    bool          // flow without a call has been reported since the boot
}

func (w *wiring) flowAlarms(s sitefile.FlowAlarms) {
	name := "flow alarms"
	f := &flow{c: w.c, meter: w.contact(name, s.Meter, harness.PulseTerminal), counts: w.outputs(name, s.Counts),
		noFlowAfter: w.positive(name, "no-flow-after", s.NoFlowAfter), settles: span(s.Settles), within: span(s.Within)}
	if s.Pulses < 1 {
		w.refusef("%s: pulses is %d, want 1 at least", name, s.Pulses)
	}
	f.stray = make([]signal.Time, max(1, s.Pulses))
	w.c.flow = f
	w.c.rules = append(w.c.rules, f)
}

func (f *flow) reset(now signal.Time) {
	f.seen, f.calling, f.settled, f.strays, f.said = f.meter.closures, false, now+f.settles, 0, false
}

func (f *flow) wake() signal.Time {
	if f.calling {
		return f.last + f.noFlowAfter
	}
	return signal.Never
}

func (f *flow) step(now signal.Time) {
	if f.c.has(noFlowAlarms) {
		return
	}
	pulsed := f.meter.closures != f.seen
	f.seen = f.meter.closures
	calling := slices.ContainsFunc(f.counts, func(i int) bool { return f.c.outputs[i].on })
	switch {
	case calling && (!f.calling || pulsed):
		f.last, f.strays = now, 0
		if pulsed && f.c.has(noFlowFirstOnly) {
			f.last = signal.Never - f.noFlowAfter
		}
	case !calling && f.calling:
		if f.settled = now + f.settles; f.c.has(leakSettlesLong) {
			f.settled = now + signal.Hour
		}
	case f.c.has(leakNeedsNetwork) && f.c.network.link != up:
	case f.said && f.c.has(leakSaidOnce):
	case !calling && pulsed && now >= f.settled:
		f.strayed(now)
	}
	f.calling = calling
	if calling && now >= f.last+f.noFlowAfter {
		f.last = now
		f.c.alert(harness.AlertNoFlow)
		if !f.c.has(noFlowGoesOn) {
			f.endCalls()
		}
	}
}

// strayed notes a pulse without a call, and raises the alarm when enough came in time.
func (f *flow) strayed(now signal.Time) {
	n := len(f.stray)
	f.stray[f.strays%n] = now
	f.strays++
	if f.strays >= n && (now-f.stray[f.strays%n] <= f.within || f.c.has(leakWindowIgnored)) {
		f.strays, f.said = 0, true
		f.c.alert(harness.AlertFlowWithoutCall)
	}
}

// endCalls ends every call for water that passes the meter. The rules see it and treat it as a failure.
func (f *flow) endCalls() {
	for _, k := range f.c.calls {
		if k.on && slices.ContainsFunc(k.outputs, func(i int) bool { return slices.Contains(f.counts, i) }) {
			k.failed = true
			f.c.stirred = true
		}
	}
}
