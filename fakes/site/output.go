package site

import (
	"math"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// offerOutput offers the failures of the switch of an output: shorted through it is on, burnt out it is off, whatever the
// controller asks of it. The driver of a latching valve gives pulses out of a store of its own, and has no such switch.
func (s *Site) offerOutput(d *drive, panel *fault.Panel) {
	if d.drive == sitefile.Latching {
		return
	}
	s.offer(panel, fault.Knob{Device: d.spec.Name, Kind: "valve", Name: "output failed", Min: -1, Max: 1, Join: fault.Replace}, &d.failed, func() {
		s.supplied.dirty = d.switched(d.asked) || s.supplied.dirty
	})
}

// failedPin is what an output that has failed puts on its terminal, in the place of what the controller asks of it.
func (c *consumer) failedPin(asked harness.Pin) harness.Pin {
	if c.failed > 0 {
		return harness.Pin{At: asked.At, Terminal: asked.Terminal, Volts: c.supply, Ohms: shortOhms}
	}
	return harness.Pin{At: asked.At, Terminal: asked.Terminal, Ohms: math.Inf(1)}
}

// offerCommon offers to open the wire through which the current of every coil goes back.
func (s *Site) offerCommon(panel *fault.Panel) {
	p := &s.supplied
	s.offer(panel, fault.Knob{Device: harness.PowerName, Kind: "power", Name: "common open", Dim: quantity.State, Max: 1, Join: fault.Largest},
		&p.commonOpen, func() { p.dirty = true })
}

// broken tells whether no current can pass: the lead or the wire that all coils have in common is open.
func (c *consumer) broken() bool { return c.lead > openCircuit || *c.commonOpen > 0 }
