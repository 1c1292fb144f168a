package controller

import (
	"context"
	"errors"
	"fmt"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
)

// Open declares the signals and leaves every output an open circuit.
func (c *Controller) Open(_ context.Context, record signal.Recorder, _ *fault.Panel, _ harness.Draw) error {
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
	c.internalFault = record.Declare(signal.Controller.InternalFault())
	return nil
}

// Knobs lists what faults turn in the controller itself; see harness.Turnable.
func (c *Controller) Knobs() []harness.ControllerKnob {
	knobs := []harness.ControllerKnob{
		harness.KnobReset,
		harness.KnobHang,
		harness.KnobWatchdog,
		harness.KnobPinsFloat,
		harness.KnobUpdate,
		harness.KnobSettingsTorn,
		harness.KnobSettingsLost,
		harness.KnobClockStep,
		harness.KnobClockUnset,
		harness.KnobCounter,
	}
	if c.fill != nil {
		knobs = append(knobs, harness.KnobLongestRun)
	}
	return knobs
}

// Turn turns a knob; see harness.Turnable.
func (c *Controller) Turn(at signal.Time, knob harness.ControllerKnob, value float64) error {
	f, on := &c.firmware, value > 0
	switch knob {
	case harness.KnobReset: // turning it from 0 to 1 pulls the line, holding it there does nothing more
		c.power.reset = c.power.reset || on && !f.pulled
		f.pulled = on
	case harness.KnobHang:
		f.hangs = on && c.power.running()
		c.power.reset = c.power.reset || f.hangs
	case harness.KnobWatchdog:
		if f.watchdog = on; !on {
			f.bites = signal.Never
		}
	case harness.KnobPinsFloat:
		f.floats = signal.FromSeconds(value)
	case harness.KnobUpdate:
		if on && c.power.running() {
			f.updates, c.power.reset = signal.FromSeconds(value), true
		}
	case harness.KnobSettingsTorn:
		f.torn = f.torn || on
	case harness.KnobSettingsLost:
		c.power.reset = c.power.reset || f.lost != on
		f.lost = on
	case harness.KnobLongestRun:
		c.setLongestRun(value)
	case harness.KnobClockStep:
		before := c.clock.stepped
		if c.clock.stepped = signal.FromSeconds(value); c.clock.stepped != before {
			c.replan(c.clock.stepped < before)
		}
	case harness.KnobClockUnset:
		c.unsetClock(at, on)
	case harness.KnobCounter:
		c.counter.counted, c.counter.begin = on, signal.Time(value)*signal.Millisecond-at
	default:
		return fmt.Errorf("controller: there is no knob %q", knob)
	}
	return nil
}

// setLongestRun changes the limit of a fill; 0 is that of the settings.
func (c *Controller) setLongestRun(v float64) {
	most := c.fill.longestRun
	if v > 0 {
		most = signal.FromSeconds(v)
	}
	c.fill.limit.change(c.now, most)
	c.changed = true
}

// unsetClock takes the time of day away, or gives it back.
func (c *Controller) unsetClock(at signal.Time, unset bool) {
	if unset == c.clock.unset {
		return
	}
	c.clock.unset, c.clock.epoch = unset, at
	c.replan(false)
	if c.power.running() {
		c.alertMissing()
	}
}
