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
// it boots the outputs stay so. Every terminal has the input stage of the board, so that a broken lead or a probe that is
// unplugged is read as such a board reads it.
//
// Not modelled: the time that firmware needs to notice an edge (none is missed unless Polling is chosen). The clock keeps time
// through a power cut, as one with a battery does; Drifting gives the whole an oscillator that is off. What the controller draws from its supply is told
// to the site by the site file.
package controller

import (
	"context"
	"errors"
	"fmt"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Controller is a simulated controller. It belongs to one run and is not safe for concurrent use.
type Controller struct {
	seeded  [mistakes]bool // defects that it was built with
	poll    signal.Time    // shortest time between two looks at the terminals; 0: none
	blocked signal.Time    // the loop waits in one place until then; only defects block it
	clock   clock
	counted bool        // the counter of milliseconds has been given a value
	counter signal.Time // what it counted when the run began

	now      signal.Time
	stirred  bool // something that rules share has changed at now
	reset    bool // the reset knob was turned since the last step
	closed   bool
	record   signal.Recorder
	signals  signals
	digital  harness.Input
	analogue harness.Input

	pins     []harness.Pin // last pin of each terminal
	power    power
	contacts []*contact // contact and pulse terminals
	probes   []probe
	outputs  []output
	drivers
	calls    []*call
	bans     []*ban
	rules    []rule        // in order of cause
	wakes    []signal.Time // of the rules, as they were after their last step
	fill     *fill
	remote   []*remoteZone
	moisture *moisture
	flow     *flow
	alerts   alerts
	network  network
	flash    flash
	firmware firmware
	samples  int // readings of the probe

	out  []harness.Pin
	sent []harness.Frame
}

var _ harness.Controller = (*Controller)(nil)

// drivers is what drives latching and motorised valves.
type drivers struct {
	twoWay      bool // there are such valves
	store       store
	pulseLength signal.Time
	pulsing     int         // the output that has a pulse; -1: none
	pulseVolts  float64     // V, with which that began
	pieceEnds   signal.Time // when its voltage is told anew
	pulseReady  signal.Time // when the capacitor is charged for the pulse that waits; Never
	drivesFor   signal.Time // the turn of a motorised valve
	shutsOnLoss bool
}

// rule is one small state machine. Whatever changes something that another rule looks at sets Controller.stirred: every
// rule is then stepped, and the moments of their wakes are asked for again.
type rule interface {
	reset(now signal.Time) // the control loop begins with an empty memory
	wake() signal.Time     // when step would do something although nothing else changes
	step(now signal.Time)  // does what is due; stepping again at the same moment changes nothing
}

// flash is what survives a loss of power. The times of the last alerts are among it, or a supply that comes and goes
// would send an alert at every boot.
type flash struct {
	boots     int
	attempts  int  // failed fills in a row
	lockedOut bool // filling is given up
	cycles    int  // moisture cycles in a row without getting wet
	restUntil signal.Time
	quiet     []signal.Time // by alert: not repeated before
	published uint64        // number of the last publish
	day       int           // the day that the counters below are of
	fills     int
	waterings int
}

type signals struct {
	powered, filling, lockedOut, moisture signal.ID
}

// Open declares the signals, offers the knobs of reset, firmware and clock, and leaves every output an open circuit.
func (c *Controller) Open(ctx context.Context, record signal.Recorder, panel *fault.Panel, _ harness.Draw) error {
	if c.closed || c.record != nil {
		return errors.New("controller: opened twice")
	}
	c.record = record
	for i := range c.outputs {
		c.outputs[i].signal = c.declare(c.outputs[i].device, "command")
	}
	for _, in := range c.contacts {
		if in.kind == harness.ContactTerminal {
			in.signal = c.declare("controller", in.device+" operated")
		}
	}
	c.signals.powered = c.declare("controller", "powered")
	if c.fill != nil {
		c.signals.filling = c.declare("controller", "filling")
		c.signals.lockedOut = c.declare("controller", "locked out")
	}
	if c.moisture != nil {
		c.signals.moisture = record.Declare(signal.Signal{Device: "controller", Quantity: "moisture", Dim: quantity.Fraction})
	}
	for i, name := range c.alerts.names {
		c.alerts.signals[i] = record.Declare(harness.AlertSignal("controller", name))
	}
	panel.Offer(fault.Knob{Device: "controller", Kind: "controller", Name: "reset", Dim: quantity.State, Max: 1,
		Join: fault.Largest, Set: c.turnReset()})
	c.openFirmware(panel)
	c.openClock(panel)
	return nil
}

// declare adds a state that begins at 0.
func (c *Controller) declare(device, what string) signal.ID {
	id := c.record.Declare(signal.Signal{Device: device, Quantity: what, Dim: quantity.State})
	c.put(id, 0)
	return id
}

func (c *Controller) put(id signal.ID, value float64) {
	c.record.Put(signal.Change{At: c.now, ID: id, Value: value})
}

func (c *Controller) putState(id signal.ID, on bool) {
	if on {
		c.put(id, 1)
	} else {
		c.put(id, 0)
	}
}

// turnReset is the knob: turning it from 0 to 1 pulls the reset line, holding it there does nothing more.
func (c *Controller) turnReset() func(signal.Time, float64) error {
	was := 0.0
	return func(_ signal.Time, value float64) error {
		c.reset = c.reset || value > was
		was = value
		return nil
	}
}

// next is the moment of the next wake.
func (c *Controller) next() signal.Time {
	if c.reset {
		return c.now
	}
	hardware := min(c.power.wake(), c.driversWake())
	if !c.power.running() {
		return hardware
	}
	next := signal.Never
	if c.stirred {
		next = c.now
	}
	for _, wake := range c.wakes {
		next = min(next, wake)
	}
	return min(hardware, c.tick(next))
}

// Advance runs the control loop; see harness.Controller and the package comment. A pin of a terminal that does not
// exist, or a `to` before the present, is an error.
func (c *Controller) Advance(ctx context.Context, to signal.Time, in []harness.Pin, got []harness.Frame) (signal.Time, []harness.Pin, []harness.Frame, error) {
	switch {
	case c.record == nil || c.closed:
		return c.now, nil, nil, errors.New("controller: not open")
	case to < c.now:
		return c.now, nil, nil, fmt.Errorf("controller: asked to run until %v, but it is %v already", to, c.now)
	}
	c.out, c.sent = c.out[:0], c.sent[:0]
	if err := c.read(in); err != nil {
		return c.now, nil, nil, err
	}
	c.power.step(c.now)
	c.hear(got)
	for {
		if ctx.Err() != nil {
			return c.now, nil, nil, context.Cause(ctx)
		}
		if err := c.settle(); err != nil {
			return c.now, nil, nil, err
		}
		if len(c.out)+len(c.sent) > 0 {
			return c.now, c.out, c.sent, nil
		}
		next := c.next()
		if next >= to {
			c.now = to
			return to, nil, nil, nil
		}
		c.now = next
	}
}

// settle steps what is due at the present moment, and, once something that rules share has changed, every rule that comes
// after it in the order of cause; and so on until nothing changes. The outputs are decided at the end of each round.
func (c *Controller) settle() error {
	for range 32 {
		c.power.step(c.now)
		if c.driversWake() <= c.now {
			c.stirred = true
		}
		all := c.stirred
		c.stirred = false
		looks := c.power.running() && c.tick(c.now) == c.now
		if looks {
			for i, r := range c.rules {
				if all || c.stirred || c.wakes[i] <= c.now {
					r.step(c.now)
					c.wakes[i] = r.wake()
				}
			}
		}
		if all || c.stirred {
			c.arbitrate()
		}
		if !c.stirred {
			c.stirred = all && !looks && c.power.running() // polling: the rules have yet to look
			return nil
		}
	}
	return fmt.Errorf("controller: the rules do not come to rest at %v", c.now)
}

// tick is the first moment, not before t, at which the rules look at the terminals.
func (c *Controller) tick(t signal.Time) signal.Time {
	t = max(t, c.blocked)
	if c.poll == 0 || t == signal.Never {
		return t
	}
	return (t + c.poll - 1) / c.poll * c.poll
}

// nextMinute is when a loop that looks once a minute looks next.
func (c *Controller) nextMinute() signal.Time { return (c.now/signal.Minute + 1) * signal.Minute }

// hear takes frames to whom they are for. A controller without power, or one that boots, hears nothing.
func (c *Controller) hear(got []harness.Frame) {
	if !c.power.running() {
		return
	}
	for _, f := range got {
		if f.Kind == harness.Command {
			c.obey(f)
		} else {
			c.network.hear(c.now, f)
		}
		c.stirred = true
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
func (c *Controller) Samples() int { return c.samples }

// Close makes every output an open circuit and ends the controller.
func (c *Controller) Close() error {
	c.closed = true
	for i := range c.outputs {
		c.outputs[i].on, c.outputs[i].driven = false, false
	}
	return nil
}

// New builds the controller of a site file. terminals are its terminals in the order of the file, the power terminal
// after them. The error names every setting that cannot be carried out.
func New(spec sitefile.Controller, terminals []harness.Terminal, options ...Option) (*Controller, error) {
	w := wiring{c: &Controller{}}
	for _, option := range options {
		w.refuse(option(w.c))
	}
	if w.board(spec, terminals) {
		w.settings(spec.Settings)
	}
	w.c.wakes = make([]signal.Time, len(w.c.rules))
	if err := errors.Join(w.errs...); err != nil {
		return nil, err
	}
	return w.c, nil
}
