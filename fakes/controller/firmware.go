package controller

import (
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// watchdogAfter is how long the loop may stand still before the watchdog of the board resets it: common practice, no source.
const watchdogAfter = 4 * signal.Second

// firmware is what befalls the controller itself: its loop, its pins and its memory. Settings are kept twice, each copy with a
// checksum: a torn one is refused and the other taken. An update is written beside the firmware that runs, with every
// output off, and one that is cut short leaves the old one.
type firmware struct {
	hangs      bool        // asked: the loop is to stand still
	updates    signal.Time // asked: an update that takes so long is to be applied; 0: none
	noWatchdog bool
	bites      signal.Time // hung: when the watchdog resets it; Never
	floats     signal.Time // how long the pins float at each boot
	floating   signal.Time // they do until then
	updating   signal.Time // an update is written until then
	lost       bool        // the settings are those of the factory: no rule is in use
	torn       bool        // one copy of the settings is neither old nor new
	rules      []rule      // all of them, while fewer are in use
	longestRun signal.Time // of a fill, as it was set up
	disturbed  signal.ID   // event: something from within has met the firmware
}

// openFirmware declares what disturbs the firmware from within, and offers the knobs of its loop, pins and memory.
func (c *Controller) openFirmware(panel *fault.Panel) {
	f := &c.firmware
	f.bites = signal.Never
	f.disturbed = c.record.Declare(harness.Disturbed())
	knob := func(name string, dim quantity.Dimension, max, rest float64, set func(v float64)) {
		join := fault.Largest
		if rest == 1 {
			join = fault.Smallest
		}
		panel.Offer(fault.Knob{Device: "controller", Kind: "controller", Name: name, Dim: dim, Max: max, Rest: rest, Join: join,
			Set: func(_ signal.Time, v float64) error {
				set(v)
				return nil
			}})
	}
	knob("hang", quantity.State, 1, 0, func(v float64) {
		f.hangs = v > 0 && c.power.running()
		c.reset = c.reset || f.hangs
	})
	knob("watchdog", quantity.State, 1, 1, func(v float64) {
		if f.noWatchdog = v == 0; f.noWatchdog {
			f.bites = signal.Never
		}
	})
	knob("pins float", quantity.Duration, 10, 0, func(v float64) { f.floats = signal.FromSeconds(v) })
	knob("update", quantity.Duration, 600, 0, func(v float64) {
		if v > 0 && c.power.running() {
			f.updates, c.reset = signal.FromSeconds(v), true
		}
	})
	knob("settings torn", quantity.State, 1, 0, func(v float64) { f.torn = f.torn || v > 0 })
	knob("settings lost", quantity.State, 1, 0, func(v float64) {
		c.reset = c.reset || f.lost != (v > 0)
		f.lost = v > 0
	})
	if c.fill != nil {
		f.longestRun = c.fill.longestRun
		knob("longest run", quantity.Duration, 86400, 0, c.setLongestRun)
	}
}

// setLongestRun changes the limit of a fill; 0 is that of the settings. It holds for a fill that is under way.
func (c *Controller) setLongestRun(v float64) {
	if c.fill.longestRun = c.firmware.longestRun; v > 0 {
		c.fill.longestRun = signal.FromSeconds(v)
	}
	if c.has(settingRenews) {
		c.fill.began = c.now
	}
	c.stirred = true
}

// meets notes that something from within has met the firmware.
func (c *Controller) meets() { c.put(c.firmware.disturbed, 1) }

// hang leaves the loop standing, with the outputs as they are.
func (p *power) hang(now signal.Time) {
	f := &p.c.firmware
	f.hangs = false
	p.enter(now, hung)
	if f.bites = signal.Never; !f.noWatchdog && !p.c.has(noWatchdog) {
		f.bites = now + watchdogAfter
	}
}

// begins is what a boot begins with: floating pins, and an update to be written first.
func (f *firmware) begins(now signal.Time) (extra signal.Time) {
	f.hangs, f.bites = false, signal.Never
	f.floating, f.updating = 0, now+f.updates
	if f.floats > 0 {
		f.floating = now + f.floats
	}
	extra, f.updates = f.updates, 0
	return extra
}

// settles ends the floating of the pins.
func (f *firmware) settles(now signal.Time) bool {
	over := f.floating > 0 && now >= f.floating
	if over {
		f.floating = 0
	}
	return over
}

// holds decides an output while nobody is in charge.
func (c *Controller) holds(i int) bool {
	f := &c.firmware
	return c.now < f.floating || c.has(unsafeBoot) || (c.has(outputsHeld) || c.has(updateHoldsOutputs) && c.now < f.updating) && c.outputs[i].on
}

// remembers takes the settings from memory as the loop begins.
func (c *Controller) remembers() {
	f := &c.firmware
	if f.torn && c.has(settingsUnchecked) && c.fill != nil {
		c.fill.longestRun = 0
	}
	if f.rules != nil && !f.lost {
		c.rules, f.rules = f.rules, nil
		c.wakes = make([]signal.Time, len(c.rules))
	}
	if f.lost && f.rules == nil {
		f.rules, c.rules = c.rules, nil
		for _, r := range f.rules {
			switch r.(type) {
			case *contact, *network, *reports:
				c.rules = append(c.rules, r)
			}
		}
		c.wakes = make([]signal.Time, len(c.rules))
	}
}

// confesses tells what the firmware found missing as its loop began.
func (c *Controller) confesses() {
	if c.firmware.lost && !c.has(settingsLostSilent) {
		c.alert(harness.AlertSettingsLost)
	}
	if c.clock.unset && c.keepsTime() && !c.has(clockUnsetTrusted) {
		c.alert(harness.AlertClockNotSet)
	}
}
