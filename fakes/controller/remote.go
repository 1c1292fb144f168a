package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
)

// remoteZone is a zone that is started and stopped by command. How long it may run is decided here and needs no
// network: not longer than the run limit from its first start, whatever is asked for and however often.
type remoteZone struct {
	call   *call
	zone   string
	limit  limit
	alerts alerter

	until signal.Time // end that was asked for
}

func (z *remoteZone) reset(signal.Time) {}

func (z *remoteZone) wake() signal.Time {
	if !z.call.on {
		return signal.Never
	}
	return min(z.until, z.limit.end())
}

func (z *remoteZone) step(now signal.Time) {
	switch {
	case !z.call.on:
	case z.call.failed, now >= z.until:
		z.call.set(false)
	case now >= z.limit.end():
		z.call.set(false)
		z.alerts.raise(harness.AlertRunLimit)
	}
}

// hear carries out a command for its zone.
func (z *remoteZone) hear(now signal.Time, f harness.Frame) {
	if f.Kind != harness.Command || f.Text != z.zone {
		return
	}
	switch f.Topic {
	case harness.TopicStart:
		z.start(now, f.Value)
	case harness.TopicStop:
		z.call.set(false)
	}
}

// start begins or renews a run of so many seconds; without a positive number it is to run until it is stopped.
func (z *remoteZone) start(now signal.Time, seconds float64) {
	if !z.call.on {
		z.limit.start(now)
	}
	z.until = signal.Never
	if asked := signal.FromSeconds(seconds); seconds > 0 && asked < signal.Never-now {
		z.until = now + asked
	}
	z.call.set(true)
}
