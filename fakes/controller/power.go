package controller

import (
	"math"

	"ullage/harness"
	"ullage/harness/signal"
)

// phase is what the supply lets the controller do.
type phase uint8

const (
	off phase = iota
	booting
	running
	hung // the loop stands still
)

// supplyStage is the power terminal as the brown-out detector sees it: the open-circuit volts of its pin, and nothing
// when the lead is off.
var supplyStage = harness.Input{PullUp: math.Inf(1), Leak: math.Inf(1)}

// supervisor is for how long a brown-out detector holds the reset, so that a supply that comes and goes cannot make it
// start many times a second: 0.1 s, common practice, no source.
const supervisor = 100 * signal.Millisecond

// power watches the supply: below the brown-out level the controller is off at once, above it boots.
type power struct {
	c           *Controller
	terminal    int
	resetsBelow float64 // V
	boots       signal.Time

	phase   phase
	ready   signal.Time // booting: when the control loop begins
	held    signal.Time // off: the supervisor holds the reset until then
	changes signal.Time // when a sloping supply crosses the level
}

func (p *power) running() bool { return p.phase == running }

// level is the supply below which something happens. Without a brown-out detector a loop that hangs does so until next to
// nothing is left.
func (p *power) level() float64 {
	if p.phase == hung && p.c.has(noBrownOut) {
		return p.resetsBelow / 4
	}
	return p.resetsBelow
}

func (p *power) good(at signal.Time) bool {
	return supplyStage.Volts(p.c.pins[p.terminal], at) >= p.level()
}

// plan finds when the supply as it is goes across the brown-out level.
func (p *power) plan(now signal.Time) {
	good := p.good(now)
	p.changes = crossing(p.c.pins[p.terminal], now, func(t signal.Time) bool { return p.good(t) != good })
}

func (p *power) wake() signal.Time {
	switch {
	case p.phase == booting && p.c.now < p.c.firmware.floating:
		return min(p.c.firmware.floating, p.changes)
	case p.phase == booting:
		return min(p.ready, p.changes)
	case p.phase == hung:
		return min(p.c.firmware.bites, p.changes)
	case p.phase == off && p.good(p.c.now):
		return min(max(p.held, p.c.now), p.changes)
	}
	return p.changes
}

func (p *power) step(now signal.Time) {
	p.c.stirred = p.c.firmware.settles(now) || p.c.stirred
	if now < p.wake() && !p.c.stirred && !p.c.reset {
		return
	}
	good := p.good(now)
	if now >= p.changes {
		p.plan(now)
	}
	switch {
	case !good && p.phase == running && p.hangs(now):
		p.enter(now, hung)
	case !good && p.phase != off:
		p.enter(now, off)
	case good && p.phase == running && p.c.firmware.hangs:
		p.hang(now)
	case good && (p.phase == off && now >= p.held || p.phase != off && p.c.reset || p.phase == hung && now >= p.c.firmware.bites):
		p.enter(now, booting)
	case p.phase == booting && now >= p.ready:
		p.enter(now, running)
	}
	p.c.reset = false
}

// hangs says whether a defect makes the loop stand still on what the supply has left.
func (p *power) hangs(now signal.Time) bool {
	return p.c.has(noBrownOut) && supplyStage.Volts(p.c.pins[p.terminal], now) >= p.resetsBelow/4
}

// enter changes the phase. Whatever the rules wanted is forgotten when the loop stops.
func (p *power) enter(now signal.Time, next phase) {
	c := p.c
	p.phase = next
	c.stirred = true
	c.blocked = 0
	p.plan(c.now)
	c.putState(c.signals.powered, next != off)
	for i := range c.outputs {
		c.outputs[i].known = c.has(noShutAtBoot) || next == hung && c.outputs[i].known
	}
	switch next {
	case booting:
		extra := c.firmware.begins(now)
		p.ready = now + p.boots + extra
		fallthrough
	case off:
		if next == off {
			p.held = now + supervisor
		}
		for _, k := range c.calls {
			k.set(false)
		}
		if c.fill != nil {
			c.put(c.signals.filling, 0)
		}
	case running:
		c.flash.boots++
		if c.flash.boots > 1 && c.has(clockLost) {
			c.clock.offset = week - now%week
		}
		c.remembers()
		clear(c.alerts.raised)
		if c.has(spacingForgotten) {
			clear(c.flash.quiet)
		}
		for i, r := range c.rules {
			r.reset(now)
			c.wakes[i] = r.wake()
		}
		if c.flash.boots > 1 && !c.has(restartSilent) {
			c.alert(harness.AlertRestarted)
		}
		c.confesses()
	}
}
