package wiring

import (
	"math"

	"ullage/fakes/internal/electric"
	"ullage/fakes/site/internal/device"
	"ullage/harness"
	"ullage/harness/signal"
)

// A load is what the supply feeds through an output of the controller.
type load interface {
	// wires is its circuit.
	wires() *circuit
	// feel puts the supply's voltage on it; it reports whether its load has changed.
	feel(at signal.Time, volts float64) (changed bool)
	// carry lets it carry the current of the supply's voltage from a moment on.
	carry(at signal.Time, volts float64)
}

// circuit is what one output of the controller drives: a coil or a motor behind its cable. The output is a switch to
// the supply, in one polarity or the other.
type circuit struct {
	name string
	coil electric.Coil
	ohms float64 // resistance of coil or motor as it is now, Ω
	// Ω, of a coil for alternating current as its plunger is now
	reactance float64
	copper    *winding // nil: it stays at 20 °C
	cold      float64  // Ω, what the coil is at 20 °C: the voltages at which it acts are given for that
	cable     float64  // Ω, there and back
	common    float64  // Ω, what a return wire that it shares with contacts and other coils is to it
	fed       bool     // by the supply; a latching coil is fed by its output alone
	diode     bool
	ended     bool        // an end switch has cut it off
	pin       harness.Pin // the output
	on        bool
	swapped   bool // as it was wired

	lead, short, swap float64     // knobs
	failed            float64     // knob: +1 its output is on, -1 off, whatever the controller does
	asked             harness.Pin // what the controller does
	bench             *device.Bench
	nominal           float64  // V, of the supply
	commonOpen        *float64 // knob of the supply: the common wire of all coils is open: above 0

	currentID signal.ID
	current   float64 // A, as last recorded
	recorded  bool    // its current is
}

func (c *circuit) wires() *circuit { return c }

// plus reports whether the polarity at the coil is that which opens.
func (c *circuit) plus() bool { return (c.pin.Volts > 0) != (c.swapped != (c.swap > 0)) }

// shorted reports whether nothing but wires is between the two leads of the output.
func (c *circuit) shorted() bool { return c.short > 0 || c.diode && !c.plus() }

// broken reports whether no current can pass: the lead or the wire that all coils have in common is open.
func (c *circuit) broken() bool { return c.lead > openCircuit || *c.commonOpen > 0 }

// own is the resistance and the reactance of everything that its current alone passes, Ω.
func (c *circuit) own() (ohms, reactance float64) {
	ohms = c.pin.Ohms + c.cable + c.lead
	if c.shorted() {
		return ohms + shortOhms, 0
	}
	return ohms + c.ohms, c.reactance
}

// total is the impedance of everything that its current passes, Ω.
func (c *circuit) total() float64 {
	ohms, reactance := c.own()
	return electric.Magnitude(ohms+c.common, reactance)
}

// conducts is the admittance of what its current alone passes, S; none where no current flows.
func (c *circuit) conducts() float64 {
	if !c.on || c.ended || c.broken() {
		return 0
	}
	return 1 / electric.Magnitude(c.own())
}

// siemens is the admittance by which the supply drives a current through it, S.
func (c *circuit) siemens() float64 {
	if !c.on || !c.fed || c.ended || c.broken() {
		return 0
	}
	return 1 / c.total()
}

// load adds to a load what it takes of the supply: Y = 1/(R + jX) = (R - jX)/|Z|².
func (c *circuit) load(l *electric.Load) {
	admittance := c.siemens()
	if admittance == 0 {
		return
	}
	ohms, reactance := c.own()
	l.Siemens += (ohms + c.common) * float64(admittance*admittance)
	l.Susceptance += reactance * float64(admittance*admittance)
}

// through is the admittance by which the supply drives a current through the coil itself, S: a short carries it past.
func (c *circuit) through() float64 {
	if c.shorted() {
		return 0
	}
	return c.siemens()
}

// across is what a coil has, of a volt of its source, of the voltage that would drive the same current through it at 20
// °C: what pulls is the current.
func (c *circuit) across() float64 {
	if !c.on || c.shorted() || c.broken() {
		return 0
	}
	return c.cold / c.total()
}

// switched takes over what the controller does with the output, and reports whether the load changes by that.
func (c *circuit) switched(pin harness.Pin) (changed bool) {
	c.asked = pin
	if c.failed != 0 {
		pin = c.failedPin(pin)
	}
	on := isOn(pin)
	changed = on != c.on || on && (pin.Ohms != c.pin.Ohms || (pin.Volts > 0) != (c.pin.Volts > 0))
	c.on, c.pin = on, pin
	return changed
}

// failedPin is what an output that has failed puts on its terminal, in the place of what the controller asks of it.
func (c *circuit) failedPin(asked harness.Pin) harness.Pin {
	if c.failed > 0 {
		return harness.Pin{At: asked.At, Terminal: asked.Terminal, Volts: c.nominal, Ohms: shortOhms}
	}
	return harness.Pin{At: asked.At, Terminal: asked.Terminal, Ohms: math.Inf(1)}
}

// letsGo reports whether the output is about to let go of the coil.
func (c *circuit) letsGo(pin harness.Pin) bool {
	return c.failed == 0 && c.conducts() != 0 && !isOn(pin)
}

// warmed takes over what its temperature at a moment makes of it.
func (c *circuit) warmed(at signal.Time) {
	if c.copper != nil {
		c.ohms = c.copper.resistance(at)
	}
}

func (c *circuit) carry(at signal.Time, volts float64) {
	if c.fed {
		c.recordCurrent(at, volts*c.siemens())
	}
	if c.copper != nil {
		c.copper.warms(at, volts*c.through())
	}
}

// recordCurrent records the current where it has changed by a hundredth.
func (c *circuit) recordCurrent(at signal.Time, amps float64) {
	if !c.recorded || math.Abs(amps-c.current) <= 0.01*math.Max(amps, c.current) {
		return
	}
	c.current = amps
	c.bench.Put(at, c.currentID, amps)
}
