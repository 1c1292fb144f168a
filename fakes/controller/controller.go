// Package controller is the simulated watering controller: the rules of the site file's settings, run on what its
// terminals and its network show it, and on nothing else.
//
// It is driven by events. Each rule says when it next has something to do, and Advance goes from one such moment to the
// next; in between nothing is computed. At a moment the rules are stepped in the order of cause: contacts, the rules
// that call for water, the rules that forbid it, then one arbitration of the outputs, and again until nothing changes.
//
// Advance does what is due before `to`. What is due at `to` itself waits for the pins and frames of that moment, which
// come with the next call: at one moment the site is always ahead of its controller.
//
// Power off, a brown-out and a reset make every output an open circuit and forget all but what is kept in flash. While
// it boots the outputs stay so. Every terminal has the input stage of the board, so that a broken lead or a probe that
// is unplugged is read as such a board reads it.
//
// Not modelled: the time that firmware needs to notice an edge (none is missed unless Polling is chosen). The clock
// keeps time through a power cut, as one with a battery does; Drifting gives the whole an oscillator that is off. What
// the controller draws from its supply is told to the site by the site file.
package controller

import (
	"context"
	"errors"
	"fmt"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Controller is a simulated controller. It belongs to one run and is not safe for concurrent use.
type Controller struct {
	loop
	record   record
	board    board
	firmware firmware
	power    power
	contacts []sensed
	schedule schedule
	demand   demand
	outputs  outputs
	latching latching
	turning  motorised
	twoWay   bool                   // there are latching or motorised valves
	atBoot   func(out *output) bool // whether an output is on while the controller boots
	network  network
	alerts   alerts
	tells    alerter // of the boot
	clock    clock
	counter  counter
	tally    tally       // in flash
	boots    int         // in flash
	debounce signal.Time // of contacts
	polls    signal.Time // it looks at its terminals at multiples of it; 0: at once

	// The rules; nil when not in use.
	charge     *keepsCharge
	fill       *fill
	probe      *probe
	moisture   *moisture
	programmes []*programme
	zones      []*remoteZone
	cutOff     *cutOff
	interlock  *interlock
	flow       *flow
	reports    *reports

	closed        bool
	powered       signal.ID
	internalFault signal.ID // event: something inside has disturbed the firmware
}

var _ harness.Controller = (*Controller)(nil)

// sensed is a contact with its place in the schedule.
type sensed struct {
	*contact
	*entry
}

// Advance runs the control loop; see harness.Controller and the package comment. A pin of a terminal that does not
// exist, or a `to` before the present, is an error.
func (c *Controller) Advance(
	ctx context.Context,
	to signal.Time,
	in []harness.Pin,
	got []harness.Frame,
) (signal.Time, []harness.Pin,
	[]harness.Frame, error) {
	switch {
	case c.record.to == nil || c.closed:
		return c.now, nil, nil, errors.New("controller: not open")
	case to < c.now:
		return c.now, nil, nil, fmt.Errorf("controller: asked to run until %v, but it is %v already", to, c.now)
	}
	c.outputs.out, c.network.out = c.outputs.out[:0], c.network.out[:0]
	if err := c.read(in); err != nil {
		return c.now, nil, nil, err
	}
	c.supervise()
	for _, f := range got {
		// Without power, or while it boots, it hears nothing.
		if c.power.running() && c.network.expects(f.Kind) {
			c.schedule.hear(f)
		}
	}
	for {
		if ctx.Err() != nil {
			return c.now, nil, nil, context.Cause(ctx)
		}
		if err := c.settle(); err != nil {
			return c.now, nil, nil, err
		}
		if len(c.outputs.out)+len(c.network.out) > 0 {
			return c.now, c.outputs.out, c.network.out, nil
		}
		next := c.next()
		if next >= to {
			c.now = to
			return to, nil, nil, nil
		}
		c.now = next
	}
}

// next is the moment of the next wake.
func (c *Controller) next() signal.Time {
	hardware := min(c.power.wake(), c.driversWake())
	if !c.power.running() {
		return hardware
	}
	return min(hardware, c.schedule.wake())
}

// driversWake is when the drivers of the outputs have something to do.
func (c *Controller) driversWake() signal.Time {
	if !c.twoWay {
		return c.outputs.wake()
	}
	return min(c.outputs.wake(), c.latching.wake(), c.turning.wake())
}

// read takes over the pins that have changed. An analogue pin rouses nobody: it is read when its time comes.
func (c *Controller) read(in []harness.Pin) error {
	for _, pin := range in {
		if pin.Terminal < 0 || pin.Terminal >= len(c.board.pins) {
			return fmt.Errorf("controller: a pin for terminal %d, but there are %d", pin.Terminal, len(c.board.pins))
		}
		if pin.At > c.now {
			return fmt.Errorf("controller: a pin of %v, but it is %v", pin.At, c.now)
		}
		c.board.pins[pin.Terminal] = pin
		for _, in := range c.contacts {
			if in.terminal == pin.Terminal {
				in.plan(c.now)
				c.schedule.rouse(in.entry)
			}
		}
		if pin.Terminal == c.board.feed {
			c.power.plan(c.now)
			c.changed = true
		}
	}
	return nil
}

// settle steps what is due at the present moment, and, once something that rules share has changed, every rule that
// comes after it in the order of cause; and so on until nothing changes. The outputs are decided at the end of each
// round.
func (c *Controller) settle() error {
	for range 32 {
		c.supervise()
		if c.driversWake() <= c.now {
			c.changed = true
		}
		all := c.changed
		c.changed = false
		steps := c.power.running() && c.schedule.tick(c.now) == c.now
		if steps {
			c.schedule.step(all)
		}
		if all || c.changed {
			c.arbitrate()
		}
		if !c.changed {
			c.changed = all && !steps && c.power.running() // polling: the rules have yet to look
			return nil
		}
	}
	return fmt.Errorf("controller: the rules do not come to rest at %v", c.now)
}

// supervise lets the supply decide what the controller may do. Whatever the rules wanted is forgotten when the loop
// stops.
func (c *Controller) supervise() {
	if !c.power.step(c.now) {
		return
	}
	c.record.putState(c.powered, c.power.phase != off)
	if c.power.phase != hung {
		c.outputs.forget()
	}
	switch c.power.phase {
	case off, booting:
		c.demand.endAll()
		if c.fill != nil {
			c.record.put(c.fill.filling, 0)
		}
	case running:
		c.boots++
		c.schedule.use(!c.firmware.lost)
		c.alerts.boot()
		c.schedule.begin()
		if c.boots > 1 {
			c.tells.raise(harness.AlertRestarted)
		}
		c.alertMissing()
	}
}

// alertMissing raises alerts of what the firmware has found missing.
func (c *Controller) alertMissing() {
	if c.firmware.lost {
		c.tells.raise(harness.AlertSettingsLost)
	}
	if c.clock.unset && len(c.programmes) > 0 && !c.firmware.lost {
		c.tells.raise(harness.AlertClockNotSet)
	}
}

// replan looks for the next start of each programme after the clock has changed, by which it may have been put back.
func (c *Controller) replan(back bool) {
	c.changed = true
	if c.boots == 0 || c.firmware.lost {
		return
	}
	for _, p := range c.programmes {
		if p.plan(c.now); back && p.repeats(c.now) {
			c.disturb()
		}
	}
}

// disturb notes that something inside has disturbed the firmware.
func (c *Controller) disturb() { c.record.put(c.internalFault, 1) }

// arbitrate decides the outputs, and emits the pins of those that change: on while any rule wants one and none forbids
// it, and off without a running control loop.
func (c *Controller) arbitrate() {
	loops := c.power.running()
	if c.twoWay {
		c.latching.store.feel(c.now, c.board.supplyVolts(c.now))
	}
	for i := range c.outputs.list {
		o := &c.outputs.list[i]
		switch c.power.phase {
		case off:
			o.allowed = false
		case hung:
			o.allowed = o.on
		case booting:
			o.allowed = c.atBoot(o)
		case running:
			o.allowed = c.demand.allowed(i)
		}
		switch o.drive {
		case sitefile.Latching:
		case sitefile.Motorised:
			c.turning.turn(o, loops)
		default:
			c.outputs.hold(o)
		}
	}
	if c.twoWay {
		c.latching.pulse(loops)
	}
}

// Can says that the simulated controller is able to do everything that settings can ask for.
func (c *Controller) Can() harness.Abilities {
	can := harness.Abilities{}
	for _, a := range harness.AllAbilities() {
		can[a] = true
	}
	return can
}

// Samples is how often the controller has read its probe.
func (c *Controller) Samples() int {
	if c.probe == nil {
		return 0
	}
	return c.probe.samples
}

// Close makes every output an open circuit and ends the controller.
func (c *Controller) Close() error {
	c.closed = true
	for i := range c.outputs.list {
		c.outputs.list[i].on, c.outputs.list[i].driven = false, false
	}
	return nil
}
