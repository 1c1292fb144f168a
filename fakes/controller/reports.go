package controller

import (
	"fmt"

	"ullage/harness"
	"ullage/harness/signal"
)

// reports publishes the state at an interval, as long as there is a connection.
type reports struct {
	c     *Controller
	every signal.Time
	next  signal.Time
}

func (r *reports) reset(now signal.Time) { r.next = now + r.every }

func (r *reports) wake() signal.Time { return r.next }

func (r *reports) step(now signal.Time) {
	if now < r.next {
		return
	}
	r.next += (now-r.next)/r.every*r.every + r.every
	if r.c.network.link == up && !r.c.has(noReports) {
		r.c.network.publish(harness.TopicReport, r.c.report(now))
	}
}

// report is the state in one line.
func (c *Controller) report(now signal.Time) string {
	today := c.today(now)
	text := fmt.Sprintf("%s: fills today %d, waterings today %d", c.clock.show(now), today.fills, today.waterings)
	switch m := c.moisture; {
	case m == nil:
	case m.faulty:
		text += ", probe fault"
	default:
		text += fmt.Sprintf(", moisture %.0f %%", 100*m.reading)
	}
	for i := range c.outputs {
		if c.outputs[i].on {
			text += ", " + c.outputs[i].device + " on"
		}
	}
	if c.flash.lockedOut {
		text += ", filling locked out"
	}
	return text
}

// today is the flash with the counters of the day, begun anew at midnight.
func (c *Controller) today(now signal.Time) *flash {
	if day := c.clock.day(now); day != c.flash.day {
		c.flash.day, c.flash.fills, c.flash.waterings = day, 0, 0
	}
	return &c.flash
}
