package controller

import "ullage/harness/signal"

// noDebounces takes the raw state of every contact.
func noDebounces(c *Controller) {
	for _, in := range c.contacts {
		in.filter.on, in.filter.off = 0, 0
	}
	if c.cutOff != nil {
		c.cutOff.filter.off = 0
	}
	if c.interlock != nil {
		c.interlock.stops.on, c.interlock.keeps.off = 0, 0
	}
}

// blocked keeps the loop from looking at the rules until a moment that may change.
func blocked(c *Controller, until *signal.Time) {
	pace := c.schedule.pace
	c.schedule.pace = func(t signal.Time) signal.Time {
		t = max(t, *until)
		if pace != nil {
			return pace(t)
		}
		return t
	}
	c.atEachBoot(func(signal.Time) { *until = 0 })
}

func debounceBlocks(c *Controller) {
	var until signal.Time
	blocked(c, &until)
	for _, in := range c.contacts {
		c.spoil(in.contact, spoilt{steps: func(now signal.Time) {
			pending := in.filter.pending
			if in.contact.step(now); in.filter.pending && !pending {
				until = in.filter.wake()
			}
		}})
	}
}

// onEdges has a rule see a contact as at rest until it has been at rest once since the boot.
func onEdges(c *Controller, r rule, at **contact) {
	real, seen, armed := *at, **at, false
	*at = &seen
	c.spoil(r, spoilt{
		resets: func(now signal.Time) {
			armed = false
			r.reset(now)
		},
		steps: func(now signal.Time) {
			armed = armed || !real.raw
			seen.raw = real.raw && armed
			r.step(now)
		},
	})
}

// nextMinute is when a loop that looks once a minute looks next.
func (c *Controller) nextMinute() signal.Time { return (c.now/signal.Minute + 1) * signal.Minute }

func (c *Controller) anyOn(outputs []int) bool {
	for _, i := range outputs {
		if c.outputs.on(i) {
			return true
		}
	}
	return false
}
