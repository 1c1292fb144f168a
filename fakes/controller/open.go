package controller

import (
	"context"
	"errors"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// Open declares the signals, offers the knobs of reset, firmware and clock, and leaves every output an open circuit.
func (c *Controller) Open(_ context.Context, record signal.Recorder, panel *fault.Panel, _ harness.Draw) error {
	if c.closed || c.record.to != nil {
		return errors.New("controller: opened twice")
	}
	c.record.to = record
	for i := range c.outputs.list {
		c.outputs.list[i].signal = c.record.declare(signal.Output(c.outputs.list[i].device).Command())
	}
	for _, in := range c.contacts {
		if in.kind == harness.ContactTerminal {
			in.signal = c.record.declare(signal.Controller.ContactOperated(in.device))
		}
	}
	c.powered = c.record.declare(signal.Controller.Powered())
	if c.fill != nil {
		c.fill.filling = c.record.declare(signal.Controller.Filling())
		c.fill.locked = c.record.declare(signal.Controller.LockedOut())
	}
	if c.probe != nil {
		c.probe.signal = record.Declare(signal.Controller.Moisture())
	}
	for i, name := range c.alerts.names {
		c.alerts.signals[i] = record.Declare(signal.Controller.Alert(name))
	}
	c.disturbed = record.Declare(signal.Controller.Disturbed())
	c.offerKnobs(panel)
	return nil
}

// offerKnobs offers what faults turn in the controller itself.
func (c *Controller) offerKnobs(panel *fault.Panel) {
	offer := func(name string, dim quantity.Dimension, least, most, rest float64, join fault.Join, set func(at signal.Time, v float64)) {
		panel.Offer(fault.Knob{Device: "controller", Kind: "controller", Name: name, Dim: dim, Min: least, Max: most, Rest: rest, Join: join,
			Set: func(at signal.Time, v float64) error {
				set(at, v)
				return nil
			}})
	}
	state := func(name string, set func(on bool)) {
		offer(name, quantity.State, 0, 1, 0, fault.Largest, func(_ signal.Time, v float64) { set(v > 0) })
	}
	f := &c.firmware
	state("reset", c.pullReset())
	state("hang", func(on bool) {
		f.hangs = on && c.power.running()
		c.power.reset = c.power.reset || f.hangs
	})
	offer("watchdog", quantity.State, 0, 1, 1, fault.Smallest, func(_ signal.Time, v float64) {
		if f.watchdog = v > 0; !f.watchdog {
			f.bites = signal.Never
		}
	})
	offer("pins float", quantity.Duration, 0, 10, 0, fault.Largest, func(_ signal.Time, v float64) { f.floats = signal.FromSeconds(v) })
	offer("update", quantity.Duration, 0, 600, 0, fault.Largest, func(_ signal.Time, v float64) {
		if v > 0 && c.power.running() {
			f.updates, c.power.reset = signal.FromSeconds(v), true
		}
	})
	state("settings torn", func(on bool) { f.torn = f.torn || on })
	state("settings lost", func(on bool) {
		c.power.reset = c.power.reset || f.lost != on
		f.lost = on
	})
	if c.fill != nil {
		offer("longest run", quantity.Duration, 0, 86400, 0, fault.Largest, c.setLongestRun)
	}
	offer("clock step", quantity.Duration, -week.Seconds(), week.Seconds(), 0, fault.Add, func(_ signal.Time, v float64) {
		before := c.clock.stepped
		if c.clock.stepped = signal.FromSeconds(v); c.clock.stepped != before {
			c.replan(c.clock.stepped < before)
		}
	})
	offer("clock unset", quantity.State, 0, 1, 0, fault.Largest, c.unsetClock)
	offer("counter", quantity.Count, 0, wrapsAt, 0, fault.Replace, func(at signal.Time, v float64) {
		c.counter.counted, c.counter.begin = v > 0, signal.Time(v)*signal.Millisecond-at
	})
}

// pullReset is the reset line: turning its knob from 0 to 1 pulls it, holding it there does nothing more.
func (c *Controller) pullReset() func(on bool) {
	was := false
	return func(on bool) {
		c.power.reset = c.power.reset || on && !was
		was = on
	}
}

// setLongestRun changes the limit of a fill; 0 is that of the settings.
func (c *Controller) setLongestRun(_ signal.Time, v float64) {
	most := c.fill.longestRun
	if v > 0 {
		most = signal.FromSeconds(v)
	}
	c.fill.limit.change(c.now, most)
	c.changed = true
}

// unsetClock takes the time of day away, or gives it back.
func (c *Controller) unsetClock(at signal.Time, v float64) {
	unset := v > 0
	if unset == c.clock.unset {
		return
	}
	c.clock.unset, c.clock.epoch = unset, at
	c.replan(false)
	if c.power.running() {
		c.confess()
	}
}
