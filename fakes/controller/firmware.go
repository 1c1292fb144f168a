package controller

import "ullage/harness/signal"

// watchdogAfter is how long the loop may stand still before the watchdog of the board resets it: common practice, no
// source.
const watchdogAfter = 4 * signal.Second

// firmware is what can go wrong inside the controller: its loop, its pins and its memory. Settings are kept twice, each
// copy with a checksum: a torn one is refused and the other taken. An update is written beside the firmware that runs,
// with every output off, and one that is cut short leaves the old one.
type firmware struct {
	pulled      bool        // the reset line
	hangs       bool        // asked: the loop is to stand still
	updates     signal.Time // asked: an update that takes so long is to be applied; 0: none
	watchdog    bool        // there is one
	bitesAfter  signal.Time // so long after a hang began
	bites       signal.Time // hung: when the watchdog resets it; Never
	floats      signal.Time // how long the pins float at each boot
	floatsUntil signal.Time // they do; 0: they do not
	lost        bool        // the settings are those of the factory: no rule is in use
	torn        bool        // one copy of the settings is neither old nor new
}

// hang sets the watchdog to work.
func (f *firmware) hang(now signal.Time) {
	f.hangs, f.bites = false, signal.Never
	if f.watchdog {
		f.bites = now + f.bitesAfter
	}
}

// boot is what a boot begins with: floating pins, and an update to be written first, which takes extra time.
func (f *firmware) boot(now signal.Time) (extra signal.Time) {
	f.hangs, f.bites = false, signal.Never
	f.floatsUntil = 0
	if f.floats > 0 {
		f.floatsUntil = now + f.floats
	}
	extra, f.updates = f.updates, 0
	return extra
}

// settles ends the floating of the pins.
func (f *firmware) settles(now signal.Time) bool {
	over := f.floatsUntil > 0 && now >= f.floatsUntil
	if over {
		f.floatsUntil = 0
	}
	return over
}
