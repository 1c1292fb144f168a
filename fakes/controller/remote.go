package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// remoteZone is a zone that is started and stopped by command. How long it may run is decided here and needs no
// network: not longer than the run limit from its first start, whatever is asked for and however often.
type remoteZone struct {
	c     *Controller
	call  *call
	zone  string
	limit signal.Time

	began signal.Time // while call is on
	until signal.Time // end that was asked for

	running bool // at the last step
	wrap    wrap // the counter's ends within its run limit
}

func (w *wiring) remote(s sitefile.Remote) {
	limit := w.positive("remote", "longest-run", s.LongestRun)
	for _, zone := range s.Zones {
		z := &remoteZone{c: w.c, call: w.call("remote", zone.Zone, zone.With), zone: zone.Zone, limit: limit}
		w.c.remote = append(w.c.remote, z)
		w.c.rules = append(w.c.rules, z)
	}
}

// obey carries out a command. One for a zone that may not be started from afar is ignored.
func (c *Controller) obey(f harness.Frame) {
	if c.firmware.lost {
		return
	}
	if c.fill != nil && f.Topic == harness.TopicStart && f.Text == c.fill.valve {
		c.fill.unlock()
	}
	for _, z := range c.remote {
		if z.zone != f.Text {
			continue
		}
		switch f.Topic {
		case harness.TopicStart:
			z.start(c.now, f.Value)
		case harness.TopicStop:
			z.call.set(z.call.on && c.has(stopSparesTimed) && z.until != signal.Never)
		}
	}
}

// start begins or renews a run of so many seconds; without a positive number it is to run until it is stopped.
func (z *remoteZone) start(now signal.Time, seconds float64) {
	if !z.call.on || z.c.has(runLimitRenewed) {
		z.began = now
	}
	if z.c.has(runLimitShared) {
		for _, other := range z.c.remote {
			other.began = now
		}
	}
	if z.call.on && z.c.has(remoteAdds) && z.until != signal.Never {
		seconds += (z.until - now).Seconds()
	}
	z.until = signal.Never
	if asked := signal.FromSeconds(seconds); seconds > 0 && asked < signal.Never-now {
		z.until = now + asked
	}
	z.wrap = z.c.wraps(z.began, z.began+z.limit)
	z.call.set(true)
}

// limitAt is the moment at which the run limit ends the run.
func (z *remoteZone) limitAt() signal.Time {
	if z.c.missed(z.wrap) || z.c.has(noRunLimit) || z.c.has(stopNeedsNetwork) && z.c.network.link != up {
		return signal.Never
	}
	return z.began + z.limit
}

func (z *remoteZone) reset(now signal.Time) {
	if z.running && z.c.has(remoteResumes) {
		z.start(now, 0)
	}
}

func (z *remoteZone) wake() signal.Time {
	if !z.call.on {
		return signal.Never
	}
	return min(z.asked(), z.limitAt())
}

// asked is the moment at which the run ends that was asked for.
func (z *remoteZone) asked() signal.Time {
	if z.c.missed(z.wrap) || z.c.has(stopNeedsNetwork) && z.c.network.link != up {
		return signal.Never
	}
	return z.until
}

func (z *remoteZone) step(now signal.Time) {
	defer func() { z.running = z.call.on }()
	switch {
	case !z.call.on:
	case z.call.failed, now >= z.asked():
		z.call.set(false)
	case now >= z.limitAt():
		z.call.set(false)
		z.c.alert(harness.AlertRunLimit)
	}
}
