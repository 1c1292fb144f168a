package harness

import (
	"math"

	"ullage/harness/numeric"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// Pin is the electrical state of one terminal from At until the next Pin of that terminal: a source of Volts, changing
// by Slope volts a second, behind Ohms. For an input the source is the wiring of the site; for an output it is the
// controller's driver. An open circuit has Ohms = +Inf. Mains wiring nearby may couple an alternating current of Hum
// into the wire: it flows into whatever is connected there, so that a stiff source shows nothing of it and an open wire
// much.
type Pin struct {
	At       signal.Time
	Terminal int     // index into the controller's terminals in the site file
	Volts    float64 // V at At
	Slope    float64 // V/s
	Ohms     float64 // Ω; 0 for a source or a contact without resistance
	Hum      float64 // A, amplitude of the coupled current; 0 without
	HumHertz float64 // Hz, its frequency
	Noise    float64 // V of Volts that are noise, which comes and goes by itself
	NoiseRMS float64 // V, its root mean square; 0 without
}

// Open is the pin of a terminal to which nothing is connected.
func Open(at signal.Time, terminal int) Pin {
	return Pin{At: at, Terminal: terminal, Ohms: math.Inf(1)}
}

// VoltsAt is the open-circuit voltage at a moment from At on.
func (p Pin) VoltsAt(at signal.Time) float64 {
	if p.Slope == 0 {
		return p.Volts
	}
	return p.Volts + float64(p.Slope*(at-p.At).Seconds())
}

// humAt is the coupled current at a moment, A. Its phase is 0 when the run begins.
func (p Pin) humAt(at signal.Time) float64 {
	turns := float64(p.HumHertz * at.Seconds())
	return p.Hum * numeric.Sin(2*math.Pi*(turns-math.Floor(turns)))
}

// Calm is the pin without what is coupled into it: its mean over many periods.
func (p Pin) Calm() Pin {
	p.Hum, p.HumHertz = 0, 0
	return p
}

// Quiet is the pin without what is coupled into it and without its noise.
func (p Pin) Quiet() Pin {
	p.Volts -= p.Noise
	p.Noise, p.NoiseRMS = 0, 0
	return p.Calm()
}

// TerminalKind is what a terminal does.
type TerminalKind uint8

// The kinds of terminal.
const (
	OutputTerminal   TerminalKind = iota // drives a coil or a pump's contactor
	ContactTerminal                      // reads a contact through a pull-up
	PulseTerminal                        // counts closures of a pulse contact, same input stage
	AnalogueTerminal                     // measures volts
	PowerTerminal                        // the controller's own supply
)

// String names the kind as the site file writes it.
func (k TerminalKind) String() string {
	return [...]string{"output", "contact", "pulse", "analogue", "power"}[k]
}

// Terminal is one terminal of a controller, as the site file wires it.
type Terminal struct {
	Name   string // the device on it: valve, pump, contact, meter, probe; "power"
	Kind   TerminalKind
	Normal bool           // contact and pulse: true when the contact is closed at rest (normally closed)
	Drive  sitefile.Drive // output: what moves the valve on it; "" is a coil that is on while it is wanted on
}

// Input is the input stage of a controller's board: a resistor to the rail, a leak to ground, thresholds with
// hysteresis, a converter. It decides what every controller that is not real reads from a Pin.
type Input struct {
	Rail      float64 // V, supply of the pull-up and reference of the converter
	PullUp    float64 // Ω to the rail; +Inf without
	Leak      float64 // Ω to ground: input impedance; +Inf without
	Low, High float64 // V: a reading below Low is low, above High is high, between them it stays
	Bits      int     // resolution of the converter
}

// Volts is the voltage at the input: the source of the pin, pull-up and leak in parallel (Millman's theorem), and what
// a coupled current makes over them. It may lie beyond ground and rail; Counts stays within.
func (in Input) Volts(p Pin, at signal.Time) float64 {
	if p.Hum != 0 {
		return in.Volts(p.Calm(), at) + float64(p.humAt(at)*in.Parallel(p))
	}
	if p.Ohms == 0 {
		return p.VoltsAt(at)
	}
	if in.PullUp == inf { // a divider: the converter's input, read every second
		switch {
		case p.Ohms == inf:
			return 0
		case in.Leak == inf:
			return p.VoltsAt(at)
		}
		return p.VoltsAt(at) * (in.Leak / (in.Leak + p.Ohms))
	}
	source, pullUp := conductance(p.Ohms), conductance(in.PullUp)
	all := source + pullUp + conductance(in.Leak)
	if all == 0 {
		return 0
	}
	return (float64(p.VoltsAt(at)*source) + float64(in.Rail*pullUp)) / all
}

// Parallel is the resistance between the input and everything that holds it at a voltage, Ω: the source of the pin,
// pull-up and leak. Where nothing holds it, it is 0, as a coupled current then says nothing either.
func (in Input) Parallel(p Pin) float64 {
	if p.Ohms == 0 {
		return 0
	}
	all := conductance(p.Ohms) + conductance(in.PullUp) + conductance(in.Leak)
	if all == 0 {
		return 0
	}
	return 1 / all
}

// conductance of a resistance, S. An open circuit has none.
func conductance(ohms float64) float64 {
	if ohms == inf {
		return 0
	}
	return 1 / ohms
}

// IsHigh is the logic level that the input reads; was is the level before, kept between the thresholds.
func (in Input) IsHigh(p Pin, at signal.Time, was bool) bool {
	switch v := in.Volts(p, at); {
	case v < in.Low:
		return false
	case v > in.High:
		return true
	}
	return was
}

// Counts is the reading of the converter, 0 to 2^Bits - 1.
func (in Input) Counts(p Pin, at signal.Time) int {
	full := float64(int(1)<<in.Bits - 1)
	return int(max(0, min(full, float64(in.Volts(p, at)/in.Rail*full)+0.5)))
}

var inf = math.Inf(1)
