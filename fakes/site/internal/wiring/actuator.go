package wiring

import (
	"math"

	"ullage/fakes/internal/electric"
	"ullage/fakes/site/internal/device"
	"ullage/fakes/site/internal/hydraulics"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// plunger is how long the plunger of a coil for alternating current takes to come in (common practice, no source).
const plunger = 20 * signal.Millisecond

// actuator is the electrical side of a valve: what its coil or motor, fed by the controller's output, asks of the disc.
type actuator struct {
	circuit
	supply *supply
	valve  *hydraulics.Valve
	drive  sitefile.Drive
	in     bool        // the plunger is in, the latch open
	due    signal.Time // when it will be as goes says; Never
	goes   bool
	jammed float64 // knob: the plunger stays where it is
	grit   float64 // knob: once it has lifted, the plunger does not come back to its seat
	bled   float64 // knob: somebody has opened the valve by hand
	latch  electric.Latch

	coilID signal.ID
	coilOn bool
}

// openActuator declares the coil or motor of a valve on the output that bears the valve's name, and the valve with it.
func openActuator(p *supply, water *hydraulics.Water, spec sitefile.Valve) *actuator {
	a := &actuator{supply: p, drive: spec.Drive, due: signal.Never,
		latch: electric.Latch{PullIn: spec.PullIn.SI, Pulse: spec.Pulse.SI},
		circuit: circuit{coil: electric.Coil{PullIn: spec.PullIn.SI, DropOut: spec.DropOut.SI}, ohms: spec.Coil.SI,
			cold: spec.Coil.SI, cable: cableOhms(spec.Cable), fed: spec.Drive != sitefile.Latching,
			diode: spec.Diode == "built-in", swapped: spec.Leads == "swapped"},
		coilID: p.Declare(signal.Valve(spec.Name).Coil())}
	p.Put(0, a.coilID, 0)
	if spec.Drive == sitefile.SpringReturn {
		a.copper = openWinding(p.Bench, p.nominal, spec)
		a.gap()
	}
	p.connect(spec.Name, a, a.alternates() || spec.Drive != sitefile.SpringReturn)
	p.onOutput(spec.Name, func(at signal.Time, pin harness.Pin) {
		p.kick(at, &a.circuit, pin)
		a.switchTo(at, pin)
	})
	a.valve = water.OpenValve(spec, a)
	a.offer(spec.Name)
	return a
}

// offer offers the knobs of coil and output, and of what opens a valve besides its coil: grit under the plunger, which
// has lifted once and does not come back, and the bleed screw or lever that somebody has turned. A motorised valve has
// neither. The switch of an output that has failed is on when shorted through and off when burnt out, whatever the
// controller asks of it; the driver of a latching valve gives pulses out of a store of its own, and has no such switch.
func (a *actuator) offer(name string) {
	coil := a.supply.Knobs(name, "valve", func(at signal.Time) {
		a.supply.dirty = true
		a.follow(at)
		if a.drive == sitefile.Motorised {
			a.valve.Aim(at)
		}
	})
	coil(fault.Knob{Name: "coil lead", Dim: quantity.Resistance, Max: 1e12, Join: fault.Add}, &a.lead)
	coil(fault.Knob{Name: "coil short", Dim: quantity.State, Max: 1, Join: fault.Largest}, &a.short)
	coil(fault.Knob{Name: "leads swapped", Dim: quantity.State, Max: 1, Join: fault.Largest}, &a.swap)
	coil(fault.Knob{Name: "plunger jammed", Dim: quantity.State, Max: 1, Join: fault.Largest}, &a.jammed)
	if a.drive != sitefile.Motorised {
		a.supply.Knobs(name, "valve", a.follow)(fault.Knob{Name: "pilot grit", Dim: quantity.State, Max: 1,
			Join: fault.Largest}, &a.grit)
		a.supply.Knobs(name, "valve", a.valve.Aim)(fault.Knob{Name: "bleed open", Dim: quantity.State, Max: 1,
			Join: fault.Largest}, &a.bled)
	}
	if a.drive != sitefile.Latching {
		a.supply.Offer(fault.Knob{Device: name, Kind: "valve", Name: "output failed", Min: -1, Max: 1,
			Join: fault.Replace}, &a.failed, func(signal.Time) {
			a.supply.dirty = a.switched(a.asked) || a.supply.dirty
		})
	}
}

// cableOhms is the resistance of a cable at 20 °C, there and back.
func cableOhms(c *sitefile.Cable) float64 {
	if c == nil {
		return 0
	}
	area := c.Area.SI
	if c.Gauge != "" {
		number, err := sitefile.GaugeNumber(c.Gauge)
		if err != nil {
			return 0 // refused when the file was read
		}
		area = electric.GaugeArea(number)
	}
	return 2 * electric.CableResistance(area, c.Length.SI, 20)
}

// Wants is the share of the stroke that the actuator sends a disc to from where it is.
func (a *actuator) Wants(disc float64) float64 {
	switch {
	case a.drive != sitefile.Motorised:
		return device.State(a.in || a.bled > 0)
	case a.coil.Energised:
		return device.State(a.plus())
	}
	return disc
}

// switchTo takes over the output of a valve. A latching coil feels it at once: its pulse comes from the controller.
func (a *actuator) switchTo(at signal.Time, pin harness.Pin) {
	before, was := a.pin, a.on
	if a.drive != sitefile.Latching {
		if a.switched(pin) {
			a.supply.dirty = true
		}
		return
	}
	if was && a.total() < openCircuit { // the charge of the pulse that ends is missing in the battery
		a.supply.drawn += float64(
			math.Abs(before.Volts+before.VoltsAt(at)) / 2 / a.total() * (at - before.At).Seconds(),
		)
	}
	a.switched(pin)
	a.supply.shareReturns()
	volts := pin.Volts * a.across()
	switch goes := a.plus(); {
	case !a.on || !a.latch.Pulls(volts):
		a.due = signal.Never
	case a.due == signal.Never || a.goes != goes: // else the pulse goes on
		a.due, a.goes = at+max(1, signal.FromSeconds(a.latch.Pulse)), goes
	}
	a.showCoil(at, a.on && math.Abs(volts) >= a.latch.PullIn)
	amps := 0.0
	if a.on && !a.broken() {
		amps = math.Abs(pin.Volts) / a.total()
	}
	a.recordCurrent(at, amps)
	a.supply.sendReturns(at)
}

// feel puts the supply on a spring-return or motorised valve.
func (a *actuator) feel(at signal.Time, volts float64) (changed bool) {
	if a.drive == sitefile.Latching {
		return false
	}
	moves := a.coil.Feel(volts * a.across())
	a.showCoil(at, a.coil.Energised)
	if a.drive == sitefile.Motorised {
		a.valve.Aim(at)
		return a.endSwitch(at)
	}
	if moves {
		a.follow(at)
	}
	return false
}

// alternates reports whether it has a coil for alternating current.
func (a *actuator) alternates() bool { return a.copper != nil && a.copper.alternates }

// gap takes over what the place of the plunger makes of the coil.
func (a *actuator) gap() {
	a.reactance = a.copper.reactance(a.in)
	a.cold = electric.Magnitude(a.copper.ohms, a.reactance)
}

// follow lets the plunger of a spring-return valve go where its coil has it, unless it is jammed.
func (a *actuator) follow(at signal.Time) {
	if a.drive != sitefile.SpringReturn {
		return
	}
	a.due = signal.Never
	switch {
	case a.jammed > 0 || a.in == a.coil.Energised || a.in && a.grit > 0:
	case a.coil.Energised && a.alternates():
		a.due, a.goes = at+plunger, true
	default:
		a.place(at, a.coil.Energised)
	}
}

// next is when plunger, latch or temperature have something new.
func (a *actuator) next() signal.Time {
	if a.copper != nil {
		return min(a.due, a.copper.until)
	}
	return a.due
}

// pass lets plunger or latch go where it is due: a latch if its pulse is still strong enough.
func (a *actuator) pass(at signal.Time) {
	switch {
	case a.due > at:
	case a.drive == sitefile.Latching && !a.latch.Pulls(a.pin.VoltsAt(at)*a.across()):
		a.due = signal.Never
	default:
		a.place(at, a.goes)
	}
	switch {
	case a.copper == nil || a.copper.until > at:
	case a.on: // and resists otherwise from now on
		a.supply.dirty = true
	default:
		a.copper.warms(at, 0)
	}
}

// place puts plunger or latch where it goes.
func (a *actuator) place(at signal.Time, in bool) {
	a.due = signal.Never
	if a.jammed > 0 || a.in == in || a.in && a.grit > 0 {
		return
	}
	a.in = in
	if a.alternates() {
		a.gap()
		a.supply.dirty = true
	}
	a.valve.Aim(at)
}

// endSwitch cuts the motor off at the end that it turns to, and reports whether that has changed.
func (a *actuator) endSwitch(at signal.Time) (changed bool) {
	before := a.ended
	a.ended = a.valve.At(at) == device.State(a.plus())
	return a.ended != before
}

func (a *actuator) showCoil(at signal.Time, on bool) {
	if on != a.coilOn {
		a.coilOn = on
		a.supply.PutState(at, a.coilID, on)
	}
}

// runsMotor reports whether a motor is on.
func (a *actuator) runsMotor() bool { return a.drive == sitefile.Motorised && a.on }

// close records the temperature of the coil at the end of the run.
func (a *actuator) close(at signal.Time) {
	if a.copper != nil {
		a.copper.line.To(at, a.copper.celsius(at))
	}
}
