package electric

import "math"

// Coil is a magnet, or anything else that begins at one voltage and lets go below another; between them it stays as it
// is.
type Coil struct {
	PullIn, DropOut float64 // V
	Energised       bool
}

// Feel puts a voltage across the coil and reports whether it changed.
func (c *Coil) Feel(volts float64) bool {
	before := c.Energised
	switch {
	case volts >= c.PullIn:
		c.Energised = true
	case volts < c.DropOut:
		c.Energised = false
	}
	return c.Energised != before
}

// Latch is the coil of a latching valve with its permanent magnet: a pulse that stays at or above PullIn for Pulse
// seconds moves it, one of positive polarity to open, one of negative to shut. Without current it stays as it is.
type Latch struct {
	PullIn float64 // V
	Pulse  float64 // s
}

// Pulls reports whether a voltage is strong enough to move the latch, in whatever direction.
func (l *Latch) Pulls(volts float64) bool { return math.Abs(volts) >= l.PullIn }

// Heat is how a coil warms up: towards an excess over its surroundings that goes with the heat I² R of its copper, in
// one time constant (a body of one temperature that loses heat in proportion to its excess; Newton's law of cooling).
type Heat struct {
	Around float64 // °C, of the surroundings
	Excess float64 // K, in the end, at the current Amps
	Amps   float64 // A, in the end
	Tau    float64 // s
}

// Course is how the temperature goes on from where it is while a current flows. The resistance of the copper is taken
// as it is there.
func (h Heat) Course(celsius, amps float64) FirstOrder {
	share := amps / h.Amps
	heat := share * share * (Warm(celsius) / Warm(h.Around+h.Excess))
	return FirstOrder{X0: celsius, A: (h.Around + float64(h.Excess*heat)) / h.Tau, B: 1 / h.Tau}
}

// Reactance is that of a coil that takes a current at a voltage and has a resistance, Ω: the root of (U/I)² - R². A
// resistance that is greater than U/I leaves none.
func Reactance(volts, amps, ohms float64) float64 {
	z := volts / amps
	return math.Sqrt(math.Max(0, float64((z-ohms)*(z+ohms))))
}
