package controller

import (
	"fmt"

	"ullage/harness"
	"ullage/harness/signal"
)

// reports publishes the state at an interval, as long as there is a connection.
type reports struct {
	network *network
	every   signal.Time
	summary summary

	next signal.Time
}

func (r *reports) reset(now signal.Time) { r.next = now + r.every }

func (r *reports) wake() signal.Time { return r.next }

func (r *reports) step(now signal.Time) {
	if now < r.next {
		return
	}
	r.next += (now-r.next)/r.every*r.every + r.every
	if r.network.link == up {
		r.network.publish(harness.TopicReport, r.summary.text(now))
	}
}

// summary is what a report is about.
type summary struct {
	clock   *clock
	tally   *tally
	probe   *probe // nil without one
	outputs *outputs
	fill    *fill // nil without one
}

// text is the state in one line.
func (s summary) text(now signal.Time) string {
	today := s.tally.today(now)
	text := fmt.Sprintf("%s: fills today %d, waterings today %d", s.clock.show(now), today.fills, today.waterings)
	switch {
	case s.probe == nil:
	case s.probe.faulty:
		text += ", probe fault"
	default:
		text += fmt.Sprintf(", moisture %.0f %%", 100*s.probe.reading)
	}
	for _, o := range s.outputs.list {
		if o.on {
			text += ", " + o.device + " on"
		}
	}
	if s.fill != nil && s.fill.kept.lockedOut {
		text += ", filling locked out"
	}
	return text
}
