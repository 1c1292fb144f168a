package controller

import (
	"slices"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// driverResistance is what the switch of an output adds to the supply's own impedance: 0.2 Ω, common practice, no source.
const driverResistance = 0.2

// output is one output terminal: an open circuit, or the supply switched through, in one polarity or the other.
type output struct {
	terminal int
	device   string
	drive    sitefile.Drive
	signal   signal.ID
	on       bool        // what the controller holds the device to be: open, or running
	fed      harness.Pin // while it is driven: the supply that is switched through
	known    bool        // latching and motorised: it has been driven to that since the boot
	driven   bool        // latching and motorised: it is under current
	until    signal.Time // driven: the end
	ended    bool        // by a defect: a call for it has ended and none has begun since
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
		for _, i := range k.outputs {
			k.c.outputs[i].ended = !on
		}
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
	if first := slices.IndexFunc(c.bans, func(b *ban) bool { return slices.Contains(b.outputs, i) }); first >= 0 && c.has(firstBanDecides) {
		return c.bans[first].on
	}
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
		return c.holds(i)
	}
	return c.wanted(i) && !c.banned(i) && !(c.has(firstEndShuts) && c.outputs[i].ended)
}

// arbitrate brings the outputs to what is decided, and emits the pins of those that change. An output that is on passes
// on every change of the supply.
func (c *Controller) arbitrate() {
	if c.twoWay {
		c.store.feel(c.now, c.pins[c.power.terminal])
	}
	for i := range c.outputs {
		switch o := &c.outputs[i]; o.drive {
		case sitefile.Latching:
		case sitefile.Motorised:
			c.turn(o, c.allowed(i))
		default:
			c.hold(o, c.allowed(i))
		}
	}
	if c.twoWay {
		c.pulse()
	}
}

// hold keeps the coil of a spring-return valve, or a contactor, under current while it is wanted on.
func (c *Controller) hold(o *output, on bool) {
	supply := c.pins[c.power.terminal]
	if on == o.on && (!on || supply == o.fed) {
		return
	}
	if on {
		c.connect(o, supply, 1)
	} else {
		c.out = append(c.out, harness.Open(c.now, o.terminal))
	}
	c.hasBeen(o, on)
	o.fed = supply
}

// connect switches a source through to an output, with a polarity.
func (c *Controller) connect(o *output, source harness.Pin, polarity float64) {
	c.out = append(c.out, harness.Pin{At: c.now, Terminal: o.terminal, Volts: polarity * source.VoltsAt(c.now),
		Slope: polarity * source.Slope, Ohms: source.Ohms + driverResistance})
	o.fed = source
}

// hasBeen notes what the controller now holds the device to be.
func (c *Controller) hasBeen(o *output, on bool) {
	if on != o.on {
		o.on = on
		c.putState(o.signal, on)
		c.stirred = true
	}
}

// turn powers a motorised valve towards open or shut for as long as it may need, at first after a boot as well, when
// nobody knows where it stands.
func (c *Controller) turn(o *output, open bool) {
	supply := c.pins[c.power.terminal]
	driving := c.power.running() || open
	switch {
	case !driving:
		if o.driven {
			o.driven = false
			c.out = append(c.out, harness.Open(c.now, o.terminal))
		}
		c.hasBeen(o, false)
	case !o.known || open != o.on:
		o.known, o.driven, o.until = true, true, c.now+c.drivesFor
		c.hasBeen(o, open)
		c.connect(o, supply, polarity(open))
	case o.driven && c.now >= o.until:
		o.driven = false
		c.out = append(c.out, harness.Open(c.now, o.terminal))
	case o.driven && supply != o.fed:
		c.connect(o, supply, polarity(open))
	}
}

// polarity is that which opens, or that which shuts.
func polarity(open bool) float64 {
	if open {
		return 1
	}
	return -1
}
