package controller

import (
	"slices"

	"ullage/harness/signal"
)

// firstBanDecides leaves to each ban the outputs that no ban before it names.
func firstBanDecides(c *Controller) {
	named := map[int]bool{}
	for _, b := range c.demand.bans {
		var left []int
		for _, i := range b.outputs {
			if !named[i] {
				left = append(left, i)
			}
			named[i] = true
		}
		b.outputs = left
	}
}

// firstEndShuts forbids the outputs of a call that has ended until another call for them begins.
func firstEndShuts(c *Controller) {
	ends := &ended{c: c, on: make([]bool, len(c.demand.calls))}
	for i := range c.outputs.list {
		ends.bans = append(ends.bans, &ban{loop: &c.loop, outputs: []int{i}})
	}
	c.demand.bans = append(c.demand.bans, ends.bans...)
	c.schedule.add(ends)
	c.schedule.use(true)
}

type ended struct {
	c    *Controller
	on   []bool // calls, at the last look
	bans []*ban // by output
}

func (e *ended) reset(now signal.Time) { e.step(now) }
func (e *ended) wake() signal.Time     { return signal.Never }
func (e *ended) step(signal.Time) {
	for n, k := range e.c.demand.calls {
		if k.on == e.on[n] {
			continue
		}
		e.on[n] = k.on
		for _, i := range k.outputs {
			e.bans[i].set(!k.on)
		}
	}
}

func overlap(a, b []int) bool {
	return slices.ContainsFunc(a, func(i int) bool { return slices.Contains(b, i) })
}

func chargeAtStart(c *Controller) {
	r := c.charge
	if r == nil {
		return
	}
	c.spoil(r, spoilt{steps: func(now signal.Time) {
		if r.ban.on || !c.anyOn(r.ban.outputs) {
			r.step(now)
		} else {
			r.plan(now)
		}
	}})
}

func chargeSilent(c *Controller) {
	if c.charge != nil {
		c.charge.alerts = muted{}
	}
}

// noShutAtBoot takes every valve for shut as the loop begins.
func noShutAtBoot(c *Controller) {
	c.atEachBoot(func(signal.Time) {
		for i := range c.outputs.list {
			c.outputs.list[i].known = true
		}
	})
}

// outputsHeld leaves the outputs as they are through a boot.
func outputsHeld(c *Controller) {
	floats := c.atBoot
	c.atBoot = func(o *output) bool { return o.on || floats(o) }
}

// updateHoldsOutputs leaves the outputs as they are while an update is written.
func updateHoldsOutputs(c *Controller) {
	floats := c.atBoot
	c.atBoot = func(o *output) bool { return o.on && c.now < c.power.ready-c.power.boots || floats(o) }
}
