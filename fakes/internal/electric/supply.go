package electric

import "math"

// Source is a source of voltage behind a resistance.
type Source struct {
	EMF  float64 // V, open-circuit
	Ohms float64 // Ω; 0 for one that nothing pulls down
}

// Load is what hangs on a supply: a controller that draws the same current at any voltage, and coils, which draw in
// proportion to it.
type Load struct {
	Amps    float64 // A
	Siemens float64 // S
}

// Draws is the current of the load at a voltage, A.
func (l Load) Draws(volts float64) float64 {
	if volts <= 0 {
		return 0
	}
	return l.Amps + float64(l.Siemens*volts)
}

// Loaded is the voltage that a load leaves of a source: (E/R - I) / (1/R + G), from Kirchhoff's current law; none when
// the source cannot even feed the constant part.
func (s Source) Loaded(l Load) float64 {
	if s.Ohms == 0 {
		return s.EMF
	}
	return math.Max(0, (s.EMF-float64(l.Amps*s.Ohms))/(1+float64(l.Siemens*s.Ohms)))
}

// Buffered is the course of the voltage of a capacitor across a load, fed by a source through a rectifier: it conducts
// while the source is not below the capacitor. C dV/dt = (E - V)/R - I - G V, without the first term while it blocks.
func (s Source) Buffered(farads, volts float64, l Load) FirstOrder {
	f := FirstOrder{X0: volts, A: -l.Amps / farads, B: l.Siemens / farads}
	if s.Ohms > 0 && volts <= s.EMF {
		f.A += s.EMF / s.Ohms / farads
		f.B += 1 / s.Ohms / farads
	}
	return f
}

// Battery is a battery of cells: its open-circuit voltage falls in a straight line with the charge that has been drawn,
// and its resistance grows with the share that is left, r/(1 - d), as the polarisation of Shepherd's equation does (C.
// M. Shepherd, Design of primary and secondary cells II, 1965; from memory). Left out: recovery, temperature,
// self-discharge.
type Battery struct {
	Capacity   float64 // C
	Full, Flat float64 // V, open-circuit, with all of the charge and with none
	Ohms       float64 // Ω when it is full
}

// leastLeft is the share of the charge at which the resistance stops growing.
const leastLeft = 1e-3

// With is the battery as a source with a share of its charge left, 0 to 1.
func (b Battery) With(left float64) Source {
	left = math.Max(0, math.Min(left, 1))
	return Source{EMF: b.Flat + float64((b.Full-b.Flat)*left), Ohms: b.Ohms / math.Max(left, leastLeft)}
}
