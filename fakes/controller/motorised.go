package controller

import "ullage/harness/signal"

// motorised drives motorised valves.
type motorised struct {
	*outputs
	drivesFor signal.Time // the current of one turn
}

// turn powers a valve towards open or shut for as long as it may need, at first after a boot as well, when nobody knows
// where it stands. Without a running control loop it stops.
func (m *motorised) turn(o *output, running bool) {
	supply, open := m.board.supply(), o.allowed
	switch {
	case !running && !open:
		if o.driven {
			o.driven = false
			m.open(o)
		}
		m.note(o, false)
	case !o.known || open != o.on:
		o.known, o.driven, o.until = true, true, m.now+m.drivesFor
		m.note(o, open)
		m.connect(o, supply, polarity(open))
	case o.driven && m.now >= o.until:
		o.driven = false
		m.open(o)
	case o.driven && supply != o.fed:
		m.connect(o, supply, polarity(open))
	}
}

// wake is when a turn ends.
func (m *motorised) wake() signal.Time {
	wake := signal.Never
	for i := range m.list {
		if o := &m.list[i]; o.driven {
			wake = min(wake, o.until)
		}
	}
	return wake
}
