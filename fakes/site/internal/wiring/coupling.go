package wiring

import (
	"ullage/harness"
	"ullage/harness/numeric"
	"ullage/harness/signal"
)

// coupling is what lies between the wire of a contact and those of the coils beside it: a damp sheath, a shared
// connector. When an output lets go of a coil, the current that goes on drives the coil's wire below ground as far as
// the clamp of the driver lets it, -V. The current dies away by L di/dt + R i = -V and so is zero after L/R ln(1 +
// U/V), with U the voltage that drove it before (the circuit of a coil with a clamp, solved by hand). So long the kick
// lasts, and as long it pulls at the wire of the contact; a closed contact is stiffer than the coupling and shows
// nothing of it.
type coupling struct {
	ohms     float64     // knob: Ω between the wires; 1e12: none
	clamp    float64     // knob: V, of the driver
	constant float64     // knob: s, L/R of the coil
	ends     signal.Time // of the present kick; Never without
}

func (c *coupling) kicks() bool { return c.ends != signal.Never }

// pass ends a kick that is over.
func (c *coupling) pass(at signal.Time) {
	if c.ends <= at {
		c.ends = signal.Never
	}
}

// onto is the pin of a contact and the kick side by side (Millman's theorem).
func (c *coupling) onto(pin harness.Pin) harness.Pin {
	if pin.Ohms == 0 {
		return pin
	}
	contact, kick := 0.0, 1/c.ohms
	if pin.Ohms < openCircuit {
		contact = 1 / pin.Ohms
	}
	all := contact + kick
	pin.Volts = (float64(pin.Volts*contact) - float64(c.clamp*kick)) / all
	pin.Slope *= contact / all
	pin.Ohms = 1 / all
	return pin
}

// begins begins the kick of a coil at so many volts that its output lets go of, and reports whether it reaches the
// contact.
func (c *coupling) begins(at signal.Time, volts float64) bool {
	if !(c.ohms < openCircuit && c.clamp > 0 && c.constant > 0) {
		return false
	}
	c.ends = at + max(1, signal.FromSeconds(float64(c.constant*numeric.Log(1+volts/c.clamp))))
	return true
}
