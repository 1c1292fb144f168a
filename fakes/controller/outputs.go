package controller

import (
	"slices"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// driverResistance is what the switch of an output adds to the supply's own impedance: 0.2 Ω, common practice, no
// source.
const driverResistance = 0.2

// output is one output terminal: an open circuit, or the supply switched through, in one polarity or the other.
type output struct {
	terminal int
	device   string
	drive    sitefile.Drive
	signal   signal.ID
	allowed  bool        // it is to be on
	on       bool        // what the controller holds the device to be: open, or running
	fed      harness.Pin // while it is driven: the supply that is switched through
	known    bool        // latching and motorised: it has been driven to that since the boot
	driven   bool        // motorised: it is under current
	until    signal.Time // latching and motorised: the end of the current
}

// outputs are the output terminals of the board.
type outputs struct {
	*record
	board *board
	list  []output
	out   []harness.Pin // that have changed at the present moment
	apart signal.Time   // between two coils that are put under current, so that their inrush does not add up
	free  signal.Time   // from when on the next coil may be
}

// find is the output of a device; -1 when there is none.
func (o *outputs) find(device string) int {
	return slices.IndexFunc(o.list, func(out output) bool { return out.device == device })
}

// on says whether an output is on.
func (o *outputs) on(i int) bool { return o.list[i].on }

// hold keeps the coil of a spring-return valve, or a contactor, under current while it is to be on. It passes on every
// change of the supply.
func (o *outputs) hold(out *output) {
	supply := o.board.supply()
	if out.allowed && !out.on && o.now < o.free {
		return
	}
	if out.allowed == out.on && (!out.on || supply == out.fed) {
		return
	}
	if out.allowed {
		if !out.on {
			o.free = o.now + o.apart
		}
		o.connect(out, supply, 1)
	} else {
		o.open(out)
	}
	o.note(out, out.allowed)
	out.fed = supply
}

// wake is when a coil that had to wait for another may be put under current.
func (o *outputs) wake() signal.Time {
	for i := range o.list {
		held := o.list[i].drive != sitefile.Latching && o.list[i].drive != sitefile.Motorised
		if o.apart > 0 && held && o.list[i].allowed && !o.list[i].on {
			return o.free
		}
	}
	return signal.Never
}

// connect switches a source through to an output, with a polarity.
func (o *outputs) connect(out *output, source harness.Pin, polarity float64) {
	o.out = append(o.out, harness.Pin{At: o.now, Terminal: out.terminal, Volts: polarity * source.VoltsAt(o.now),
		Slope: polarity * source.Slope, Ohms: source.Ohms + driverResistance})
	out.fed = source
}

// open makes an output an open circuit.
func (o *outputs) open(out *output) { o.out = append(o.out, harness.Open(o.now, out.terminal)) }

// note keeps what the controller now holds a device to be.
func (o *outputs) note(out *output, on bool) {
	if on != out.on {
		out.on = on
		o.putState(out.signal, on)
		o.changed = true
	}
}

// forget leaves it open how valves that stay as they are stand.
func (o *outputs) forget() {
	for i := range o.list {
		o.list[i].known = false
	}
}

// polarity is that which opens, or that which shuts.
func polarity(open bool) float64 {
	if open {
		return 1
	}
	return -1
}
