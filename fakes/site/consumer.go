package site

import (
	"math"

	"ullage/fakes/electric"
	"ullage/harness"
	"ullage/harness/signal"
)

const (
	offVolts  = 0.1  // V, at and below which an output counts as off (common practice, no source)
	shortOhms = 0.05 // Ω, of a coil that is shorted and of a diode that conducts (common practice, no source)
)

// consumer is what hangs on one output of the controller: a coil or a motor behind its cable. The output is a switch to
// the supply, in one polarity or the other.
type consumer struct {
	name    string
	coil    electric.Coil
	ohms    float64 // of coil or motor as it is now, Ω
	cable   float64 // Ω, there and back
	common  float64 // Ω, what a return wire that it shares with contacts and other coils is to it
	fed     bool    // by the supply; a latching coil is fed by its output alone
	diode   bool
	ended   bool        // an end switch has cut it off
	pin     harness.Pin // the output
	on      bool
	swapped bool // as it was wired

	lead, short, swap float64     // knobs
	failed            float64     // knob: +1 its output is on, -1 off, whatever the controller does
	asked             harness.Pin // what the controller does
	commonOpen        *float64    // knob of the site: the common wire of all coils is open: above 0
	supply            float64     // V, of the site file

	currentID signal.ID
	current   float64 // A, as last recorded
	told      bool    // its current is recorded
	// feel puts the supply's voltage on it; it tells whether its load has changed.
	feel func(at signal.Time, volts float64) bool
}

// plus tells whether the polarity at the coil is that which opens.
func (c *consumer) plus() bool { return (c.pin.Volts > 0) != (c.swapped != (c.swap > 0)) }

// shorted tells whether nothing but wires is between the two leads of the output.
func (c *consumer) shorted() bool { return c.short > 0 || c.diode && !c.plus() }

// own is the resistance of everything that its current alone passes, Ω.
func (c *consumer) own() float64 {
	ohms := c.ohms
	if c.shorted() {
		ohms = shortOhms
	}
	return c.pin.Ohms + c.cable + c.lead + ohms
}

// circuit is the resistance of everything that its current passes, Ω.
func (c *consumer) circuit() float64 { return c.own() + c.common }

// conducts is the conductance of what its current alone passes, S; none where no current flows.
func (c *consumer) conducts() float64 {
	if !c.on || c.ended || c.broken() {
		return 0
	}
	return 1 / c.own()
}

// siemens is the load that the supply sees.
func (c *consumer) siemens() float64 {
	if !c.on || !c.fed || c.ended || c.broken() {
		return 0
	}
	return 1 / c.circuit()
}

// winding is the conductance by which the supply drives a current through the coil itself, S: a short carries it past.
func (c *consumer) winding() float64 {
	if c.shorted() {
		return 0
	}
	return c.siemens()
}

// across is what reaches the coil of a volt of its source.
func (c *consumer) across() float64 {
	if !c.on || c.shorted() || c.broken() {
		return 0
	}
	return c.ohms / c.circuit()
}

// switched takes over what the controller does with the output, and tells whether that is news.
func (c *consumer) switched(pin harness.Pin) bool {
	c.asked = pin
	if c.failed != 0 {
		pin = c.failedPin(pin)
	}
	on := pin.Ohms < openCircuit && math.Abs(pin.Volts) > offVolts
	news := on != c.on || on && (pin.Ohms != c.pin.Ohms || (pin.Volts > 0) != (c.pin.Volts > 0))
	c.on, c.pin = on, pin
	return news
}

// recordCurrent writes the current down where it has changed by a hundredth.
func (s *Site) recordCurrent(at signal.Time, c *consumer, amps float64) {
	if !c.told || math.Abs(amps-c.current) <= 0.01*math.Max(amps, c.current) {
		return
	}
	c.current = amps
	s.put(at, c.currentID, amps)
}
