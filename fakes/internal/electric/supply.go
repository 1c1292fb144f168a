package electric

import "math"

// Source is a source of voltage behind a resistance, which may give no more than so much current.
type Source struct {
	EMF   float64 // V, open-circuit
	Ohms  float64 // Ω; 0 for one whose voltage no load lowers
	Limit float64 // A, that it gives at most; 0: without limit
}

// Load is what hangs on a supply: a controller that draws the same current at any voltage, and coils, which draw in
// proportion to it. The current of Siemens is in phase with the voltage, that of Susceptance a quarter of a period
// behind it, as that of an inductance is to alternating current.
type Load struct {
	Amps        float64 // A
	Siemens     float64 // S
	Susceptance float64 // S
}

// Magnitude is that of a phasor with two parts a quarter of a period apart.
func Magnitude(real, imaginary float64) float64 {
	return math.Sqrt(float64(real*real) + float64(imaginary*imaginary))
}

// Draws is the current of the load at a voltage, A.
func (l Load) Draws(volts float64) float64 {
	if volts <= 0 {
		return 0
	}
	return Magnitude(l.Amps+float64(l.Siemens*volts), l.Susceptance*volts)
}

// at is the voltage at which the load draws a current, V: the root of (I0 + G V)² + (B V)² = I²; none where the
// constant part alone is more.
func (l Load) at(amps float64) float64 {
	return root(float64(l.Siemens*l.Siemens)+float64(l.Susceptance*l.Susceptance), float64(l.Amps*l.Siemens),
		float64(l.Amps*l.Amps)-float64(amps*amps))
}

// root is the greater root of a x² + 2 b x + c = 0, 0 where it is not above 0.
func root(a, b, c float64) float64 {
	inside := float64(b*b) - float64(a*c)
	if inside <= 0 || c >= 0 {
		return 0
	}
	return -c / (b + math.Sqrt(inside))
}

// Loaded is the voltage that a load leaves of a source: the root of (V + R (I0 + G V))² + (R B V)² = E², by Kirchhoff's
// voltage law with phasors; none when the source cannot even feed the constant part. Where that would be more current
// than the source gives, it is the voltage at which the load draws the limit.
func (s Source) Loaded(l Load) float64 {
	volts := s.EMF
	if s.Ohms > 0 {
		lost, behind, constant := 1+float64(l.Siemens*s.Ohms), l.Susceptance*s.Ohms, l.Amps*s.Ohms
		volts = root(float64(lost*lost)+float64(behind*behind), float64(lost*constant),
			float64(constant*constant)-float64(s.EMF*s.EMF))
	}
	if s.Limit > 0 && l.Draws(volts) > s.Limit {
		return l.at(s.Limit)
	}
	return volts
}

// Bends is the voltage of a capacitor behind the source below which the source gives its limit, V.
func (s Source) Bends() float64 { return s.EMF - float64(s.Ohms*s.Limit) }

// Gives is the current of the source into a capacitor at a voltage, A: none while the rectifier blocks.
func (s Source) Gives(volts float64) float64 {
	switch {
	case volts >= s.EMF:
		return 0
	case s.Limit > 0 && volts < s.Bends():
		return s.Limit
	}
	return (s.EMF - volts) / s.Ohms
}

// Buffered is the course of the voltage of a capacitor across a load, fed by a source with resistance through a
// rectifier: it conducts while the source is not below the capacitor. C dV/dt = (E - V)/R - I - G V, with the limit of
// the source in the place of the first term where that is more, and without it while the rectifier blocks. Each of the
// three holds until Bends or EMF. Of coils for alternating current the magnitude of their admittance counts.
func (s Source) Buffered(farads, volts float64, l Load) FirstOrder {
	f := FirstOrder{X0: volts, A: -l.Amps / farads, B: Magnitude(l.Siemens, l.Susceptance) / farads}
	switch {
	case s.Ohms == 0 || volts > s.EMF:
	case s.Limit > 0 && volts < s.Bends():
		f.A += s.Limit / farads
	default:
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
