package controller

import (
	"slices"

	"ullage/harness"
	"ullage/harness/signal"
)

// driverResistance is what the switch of an output adds to the supply's own impedance: 0.2 Ω, common practice, no source.
const driverResistance = 0.2

// output is one output terminal: an open circuit, or the supply switched through.
type output struct {
	terminal int
	device   string
	signal   signal.ID
	on       bool
	fed      harness.Pin // on: the supply that is switched through
}

// call is the wish of one rule for its outputs.
type call struct {
	c       *Controller
	outputs []int
	on      bool
	failed  bool // the flow alarm has ended it; its rule has yet to see that
}

func (k *call) set(on bool) {
	k.failed = false
	if k.on != on {
		k.on = on
		k.c.stirred = true
	}
}

// ban forbids outputs, whoever calls for them.
type ban struct {
	c       *Controller
	outputs []int
	on      bool
	passed  bool // by a defect: a start from afar goes past it
}

func (b *ban) set(on bool) {
	if b.on != on {
		b.on = on
		b.c.stirred = true
	}
}

// output finds an output by its device; -1 when there is none.
func (c *Controller) output(device string) int {
	return slices.IndexFunc(c.outputs, func(o output) bool { return o.device == device })
}

// wanted says whether any rule calls for an output.
func (c *Controller) wanted(i int) bool {
	return slices.ContainsFunc(c.calls, func(k *call) bool { return k.on && slices.Contains(k.outputs, i) })
}

// wantedFromAfar says whether a remote run calls for an output.
func (c *Controller) wantedFromAfar(i int) bool {
	return slices.ContainsFunc(c.remote, func(z *remoteZone) bool { return z.call.on && slices.Contains(z.call.outputs, i) })
}

func (c *Controller) banned(i int) bool {
	return slices.ContainsFunc(c.bans, func(b *ban) bool {
		return b.on && slices.Contains(b.outputs, i) && !(b.passed && c.wantedFromAfar(i))
	})
}

// allowed decides one output: on while any rule wants it and none forbids it, and off without a running control loop.
func (c *Controller) allowed(i int) bool {
	switch c.power.phase {
	case off:
		return false
	case hung:
		return c.outputs[i].on
	case booting:
		return c.has(unsafeBoot) || c.has(outputsHeld) && c.outputs[i].on
	}
	return c.wanted(i) && !c.banned(i)
}

// arbitrate brings the outputs to what is decided, and emits the pins of those that change. An output that is on passes
// on every change of the supply.
func (c *Controller) arbitrate() {
	supply := c.pins[c.power.terminal]
	for i := range c.outputs {
		o := &c.outputs[i]
		on := c.allowed(i)
		if on == o.on && (!on || supply == o.fed) {
			continue
		}
		pin := harness.Open(c.now, o.terminal)
		if on {
			pin = harness.Pin{At: c.now, Terminal: o.terminal, Volts: supply.VoltsAt(c.now), Slope: supply.Slope,
				Ohms: supply.Ohms + driverResistance}
		}
		c.out = append(c.out, pin)
		if on != o.on {
			c.putState(o.signal, on)
			c.stirred = true
		}
		o.on, o.fed = on, supply
	}
}
