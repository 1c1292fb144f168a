package wiring

import (
	"math"

	"ullage/harness"
	"ullage/harness/signal"
)

const (
	openCircuit = 1e9  // Ω, from which on a wire counts as broken
	offVolts    = 0.1  // V, at and below which an output counts as off (common practice, no source)
	shortOhms   = 0.05 // Ω, of a coil that is shorted and of a diode that conducts (common practice, no source)
)

// board is the controller's end of the wires: its terminals, what is connected to its outputs, and what its inputs
// meet.
type board struct {
	terminals []harness.Terminal
	outputs   []func(signal.Time, harness.Pin) // by terminal: takes over the output; nil for inputs
	given     []harness.Pin                    // by terminal: what the controller puts out
	pins      []harness.Pin                    // that the controller has not been given yet
	live      bool                             // the controller knows its inputs, and is given their changes
}

// inputOf is the number of the input that a device is wired to, -1 when it is not wired.
func (b *board) inputOf(device string) int {
	for i, t := range b.terminals {
		if t.Name == device && t.Kind != harness.OutputTerminal {
			return i
		}
	}
	return -1
}

// onOutput connects a device to the outputs that bear its name.
func (b *board) onOutput(device string, drive func(signal.Time, harness.Pin)) {
	for i, t := range b.terminals {
		if t.Name == device && t.Kind == harness.OutputTerminal {
			b.outputs[i] = drive
		}
	}
}

// send gives the controller a pin.
func (b *board) send(pin harness.Pin) { b.pins = append(b.pins, pin) }

// isOn reports whether an output drives anything.
func isOn(pin harness.Pin) bool { return pin.Ohms < openCircuit && math.Abs(pin.Volts) > offVolts }
