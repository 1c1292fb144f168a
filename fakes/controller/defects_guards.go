package controller

import "ullage/harness/signal"

func withCutOff(do func(c *Controller, r *cutOff)) func(*Controller) {
	return func(c *Controller) {
		if c.cutOff != nil {
			do(c, c.cutOff)
		}
	}
}

func cutOffAtStart(c *Controller, r *cutOff) {
	c.spoil(r, spoilt{steps: func(now signal.Time) {
		if !c.anyOn(r.ban.outputs) {
			r.step(now)
		}
	}})
}

func cutOffPolled(c *Controller, r *cutOff) {
	c.spoil(r, spoilt{
		wakes: func() signal.Time {
			if r.contact.raw != r.filter.state {
				return c.nextMinute()
			}
			return r.wake()
		},
		steps: func(now signal.Time) {
			if now%signal.Minute == 0 {
				r.step(now)
			}
		},
	})
}

// cutOffPulse ends the runs that are under way, and forbids nothing.
func cutOffPulse(c *Controller, r *cutOff) {
	shuts := r.ban.outputs
	r.ban = aside(r.ban)
	c.spoil(r, spoilt{steps: func(now signal.Time) {
		was := r.operated
		if r.step(now); was || !r.operated {
			return
		}
		for _, k := range c.demand.calls {
			if k.on && overlap(k.outputs, shuts) {
				k.fail()
			}
		}
	}})
}

// cutOffStays lets go at a restart only.
func cutOffStays(c *Controller, r *cutOff) {
	real := r.ban
	r.ban = aside(real)
	c.spoil(r, spoilt{
		resets: func(now signal.Time) {
			r.reset(now)
			real.set(false)
		},
		steps: func(now signal.Time) {
			r.step(now)
			real.set(real.on || r.ban.on)
		},
	})
}

func withInterlock(do func(c *Controller, r *interlock)) func(*Controller) {
	return func(c *Controller) {
		if c.interlock != nil {
			do(c, c.interlock)
		}
	}
}

func interlockPolled(c *Controller, r *interlock) {
	c.spoil(r, spoilt{wakes: c.nextMinute, steps: func(now signal.Time) {
		if now%signal.Minute == 0 || !c.outputs.on(r.pump) {
			r.step(now)
		}
	}})
}

// interlockNotRemote lets remote runs go past what the interlock forbids.
func interlockNotRemote(c *Controller, r *interlock) {
	real := r.ban
	r.ban = aside(real)
	decide := func() {
		remote := false
		for _, z := range c.zones {
			remote = remote || z.call.on && overlap(z.call.outputs, r.ban.outputs)
		}
		real.set(r.ban.on && !remote)
	}
	c.spoil(r, spoilt{
		resets: func(now signal.Time) {
			r.reset(now)
			decide()
		},
		steps: func(now signal.Time) {
			r.step(now)
			decide()
		},
	})
}

func interlockStays(c *Controller, r *interlock) {
	c.spoil(r, spoilt{steps: func(now signal.Time) {
		if r.step(now); r.restart > 0 {
			r.restart = signal.Never
		}
	}})
}
