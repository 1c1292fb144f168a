package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
)

func eachZone(do func(c *Controller, z *remoteZone)) func(*Controller) {
	return func(c *Controller) {
		for _, z := range c.zones {
			do(c, z)
		}
	}
}

func stopNeedsNetwork(c *Controller, z *remoteZone) {
	lastsWhile(c, z, func() bool { return c.network.link != up })
}

func remoteResumes(c *Controller, z *remoteZone) {
	runs := false
	c.spoil(z, spoilt{
		resets: func(now signal.Time) {
			if runs {
				z.start(now, 0)
			}
		},
		steps: func(now signal.Time) {
			z.step(now)
			runs = z.call.on
		},
	})
}

// onCommands has something happen before a start or stop command for a zone is carried out; it may change the command.
func onCommands(c *Controller, z *remoteZone, before func(now signal.Time, f *harness.Frame)) {
	c.spoil(z, spoilt{hears: func(now signal.Time, f harness.Frame) {
		if f.Kind == harness.Command && f.Text == z.zone {
			before(now, &f)
		}
		z.hear(now, f)
	}})
}

func runLimitRenewed(c *Controller, z *remoteZone) {
	onCommands(c, z, func(now signal.Time, f *harness.Frame) {
		if f.Topic == harness.TopicStart {
			*startOf(z.limit) = now
		}
	})
}

func runLimitShared(c *Controller, z *remoteZone) {
	onCommands(c, z, func(now signal.Time, f *harness.Frame) {
		for _, other := range c.zones {
			if f.Topic == harness.TopicStart {
				*startOf(other.limit) = now
			}
		}
	})
}

func remoteAdds(c *Controller, z *remoteZone) {
	onCommands(c, z, func(now signal.Time, f *harness.Frame) {
		if f.Topic == harness.TopicStart && z.call.on && z.until != signal.Never {
			f.Value += (z.until - now).Seconds()
		}
	})
}

func stopSparesTimed(c *Controller, z *remoteZone) {
	onCommands(c, z, func(_ signal.Time, f *harness.Frame) {
		if f.Topic == harness.TopicStop && z.call.on && z.until != signal.Never {
			f.Topic = ""
		}
	})
}
