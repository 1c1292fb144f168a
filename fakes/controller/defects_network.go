package controller

import (
	"slices"

	"ullage/harness"
	"ullage/harness/signal"
)

// share has an alert counted together with another.
func (a *alerts) share(name, with string) {
	a.spacings[slices.Index(a.names, name)] = a.spacings[slices.Index(a.names, with)]
}

func spacingShared(c *Controller) {
	for _, name := range c.alerts.names {
		c.alerts.share(name, c.alerts.names[0])
	}
}

func flowSpacingShared(c *Controller) {
	c.alerts.share(harness.AlertFlowWithoutCall, harness.AlertNoFlow)
}

// careless is a publisher that does not say what is on its way.
type careless struct{ publisher }

func (careless) waits(string) bool { return false }

func noAlertSpacing(c *Controller) {
	c.alerts.repeatAfter, c.alerts.publisher = 0, careless{c.alerts.publisher}
}

func spacingForgotten(c *Controller) {
	c.atEachBoot(func(signal.Time) {
		for _, s := range c.alerts.spacings {
			s.sent = 0
		}
	})
}

// onceABoot never raises again what it has raised.
type onceABoot struct {
	publisher
	alerts *alerts
}

func (o onceABoot) publish(topic, text string) {
	o.alerts.spacings[slices.Index(o.alerts.names, text)].raised = signal.Never
	o.publisher.publish(topic, text)
}

func alertOnce(c *Controller) { c.alerts.publisher = onceABoot{c.alerts.publisher, &c.alerts} }

// oldestKept is a publisher that takes nothing when its memory is full.
type oldestKept struct{ *network }

func (o oldestKept) publish(topic, text string) {
	if len(o.queue) < o.room() {
		o.network.publish(topic, text)
	}
}

// onLoss has something happen when a connection is lost or not made.
func onLoss(c *Controller, made, lost func()) {
	n := &c.network
	after := func(was link) {
		switch {
		case n.link == down && was != down:
			lost()
		case n.link == up && was != up:
			made()
		}
	}
	c.spoil(n, spoilt{
		steps: func(now signal.Time) {
			was := n.link
			n.step(now)
			after(was)
		},
		hears: func(now signal.Time, f harness.Frame) {
			was := n.link
			n.hear(now, f)
			after(was)
		},
	})
}

func lossClears(c *Controller) {
	onLoss(c, func() {}, func() { c.network.queue = c.network.queue[:0] })
}

func reconnectGivesUp(c *Controller) {
	failed := 0
	onLoss(c, func() { failed = 0 }, func() {
		if failed++; failed > 10 {
			c.network.next = signal.Never
		}
	})
	c.atEachBoot(func(signal.Time) { failed = 0 })
}

func reconnectBlocks(c *Controller) {
	n := &c.network
	var until signal.Time
	blocked(c, &until)
	wait := func(was link) {
		if n.link != was && n.link != up {
			until = n.next
		}
	}
	c.spoil(n, spoilt{
		steps: func(now signal.Time) {
			was := n.link
			n.step(now)
			wait(was)
		},
		hears: func(now signal.Time, f harness.Frame) {
			if f.Kind == harness.Command {
				return
			}
			was := n.link
			until = 0
			n.hear(now, f)
			wait(was)
		},
	})
}

func publishBlocks(c *Controller) {
	n := &c.network
	var until signal.Time
	blocked(c, &until)
	c.spoil(n, spoilt{
		steps: func(now signal.Time) {
			n.step(now)
			for _, p := range n.queue {
				if p.sent && p.frame.At == now {
					until = p.due
				}
			}
		},
		hears: func(now signal.Time, f harness.Frame) {
			if f.Kind == harness.Command {
				return
			}
			until = 0
			n.hear(now, f)
		},
	})
}

func alertNotRepeated(c *Controller) {
	n := &c.network
	c.spoil(n, spoilt{steps: func(now signal.Time) {
		n.step(now)
		n.queue = slices.DeleteFunc(n.queue, func(p publish) bool { return p.sent })
	}})
}

func acknowledgementIgnored(c *Controller) {
	n := &c.network
	c.spoil(n, spoilt{hears: func(now signal.Time, f harness.Frame) {
		if f.Kind == harness.Acknowledged {
			f.Number = 0 // of no publish
		}
		n.hear(now, f)
	}})
}
