package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// latching gives latching valves their pulses, out of a capacitor.
type latching struct {
	*outputs
	store       store
	length      signal.Time // of a pulse
	shutsOnLoss bool        // what is open is shut with what the capacitor holds when the control loop ends

	pulsing   int         // the output that has a pulse; -1: none
	volts     float64     // V, with which that began
	pieceEnds signal.Time // when its voltage is told anew
	ready     signal.Time // when the capacitor is charged for the pulse that waits; Never
}

// pulse gives the pulses one after another, those that shut first. A valve whose state nobody knows is shut. Without a
// running control loop there are none, unless open valves are to be shut with what the capacitor holds.
func (l *latching) pulse(running bool) {
	l.ready = signal.Never
	if l.pulsing >= 0 {
		if o := &l.list[l.pulsing]; l.now < o.until {
			if l.now >= l.pieceEnds {
				l.drain(o)
			}
			return
		}
		l.end()
	}
	next := l.next(running)
	if next < 0 {
		return
	}
	if ready := l.store.ready(); running && l.now < ready {
		l.ready = ready
		return
	}
	l.begin(next, running)
}

// next is the output that is to have a pulse; -1: none.
func (l *latching) next(running bool) int {
	next := -1
	for i := range l.list {
		o := &l.list[i]
		if o.drive != sitefile.Latching {
			continue
		}
		switch lives := running || o.allowed; {
		case lives && o.known && o.allowed == o.on:
		case lives:
			if next < 0 || !o.allowed && l.list[next].allowed {
				next = i
			}
		case o.on && l.shutsOnLoss && l.store.at(l.now) >= leastUse:
			if next < 0 {
				next = i
			}
		default:
			l.note(o, false)
		}
	}
	return next
}

// begin connects the capacitor to a valve.
func (l *latching) begin(i int, running bool) {
	o := &l.list[i]
	o.known, o.until = running || o.allowed, l.now+l.length
	l.pulsing, l.volts = i, l.store.at(l.now)
	l.note(o, o.allowed)
	l.drain(o)
}

// drain tells the output how the voltage of the capacitor falls while it gives current: in straight lines with the
// right ends, each short enough to keep to the curve.
func (l *latching) drain(o *output) {
	spent := (l.now - o.until + l.length).Seconds()
	l.pieceEnds = min(o.until, l.now+max(1, signal.FromSeconds(straight*l.store.drains())))
	seconds := (l.pieceEnds - l.now).Seconds()
	volts := l.store.after(l.volts, spent)
	l.connect(
		o,
		harness.Pin{At: l.now, Volts: volts, Slope: (l.store.after(l.volts, spent+seconds) - volts) / seconds},
		polarity(o.on),
	)
}

// end opens the output again. The capacitor has been drained for the whole of the pulse.
func (l *latching) end() {
	l.store.volts, l.store.since = l.store.after(l.volts, l.length.Seconds()), l.now
	l.open(&l.list[l.pulsing])
	l.pulsing = -1
}

// wake is when a piece of a pulse ends, or the capacitor is charged for the next.
func (l *latching) wake() signal.Time {
	if l.pulsing >= 0 {
		return min(l.list[l.pulsing].until, l.pieceEnds)
	}
	return l.ready
}
