package site

import (
	"math"

	"ullage/fakes/electric"
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
	consumer
	drive  sitefile.Drive
	in     bool        // the plunger is in, the latch open
	due    signal.Time // when it will be as goes says; Never
	goes   bool
	jammed float64 // knob: the plunger stays where it is
	grit   float64 // knob: once it has lifted, the plunger does not come back to its seat
	bled   float64 // knob: somebody has opened the valve by hand
	latch  electric.Latch
	ac     *alternating

	coilID signal.ID
	coilOn bool
}

// wants is the share of the stroke that the actuator sends a disc to from where it is.
func (a *actuator) wants(disc float64) float64 {
	switch {
	case a.drive != sitefile.Motorised:
		return state(a.in || a.bled > 0)
	case a.coil.Energised:
		return state(a.plus())
	}
	return disc
}

// hangCoil hangs the coil or motor of a valve on the output that bears the valve's name.
func (s *Site) hangCoil(d *drive) {
	v := d.spec
	d.actuator = actuator{drive: v.Drive, due: signal.Never, latch: electric.Latch{PullIn: v.PullIn.SI, Pulse: v.Pulse.SI},
		consumer: consumer{coil: electric.Coil{PullIn: v.PullIn.SI, DropOut: v.DropOut.SI}, ohms: v.Coil.SI, cable: cableOhms(v.Cable),
			fed: v.Drive != sitefile.Latching, diode: v.Diode == "built-in", swapped: v.Leads == "swapped"}}
	d.coilID = s.held(v.Name, "coil")
	s.put(0, d.coilID, 0)
	d.feel = func(at signal.Time, volts float64) bool { return s.feelCoil(d, at, volts) }
	if v.Current == "ac" {
		d.ac = newAlternating(s, v)
		d.ohms = d.ac.impedance(false)
	}
	s.consumes(v.Name, &d.consumer, d.ac != nil || v.Drive != sitefile.SpringReturn)
	if d.ac != nil || v.Drive != sitefile.SpringReturn {
		s.supplied.actuators = append(s.supplied.actuators, d)
	}
	s.onOutput(v.Name, func(at signal.Time, pin harness.Pin) {
		s.kick(at, &d.consumer, pin)
		s.drivePin(d, at, pin)
	})
}

// offerCoil offers the knobs of a valve's coil.
func (s *Site) offerCoil(panel *fault.Panel, d *drive) {
	for _, k := range []struct {
		fault.Knob
		value *float64
	}{
		{fault.Knob{Name: "coil lead", Dim: quantity.Resistance, Max: 1e12, Join: fault.Add}, &d.lead},
		{fault.Knob{Name: "coil short", Dim: quantity.State, Max: 1, Join: fault.Largest}, &d.short},
		{fault.Knob{Name: "leads swapped", Dim: quantity.State, Max: 1, Join: fault.Largest}, &d.swap},
		{fault.Knob{Name: "plunger jammed", Dim: quantity.State, Max: 1, Join: fault.Largest}, &d.jammed},
	} {
		k.Device, k.Kind = d.spec.Name, "valve"
		s.offer(panel, k.Knob, k.value, func() {
			s.supplied.dirty = true
			s.follow(d, s.now)
			if d.drive == sitefile.Motorised {
				s.aim(d, s.now)
			}
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

// drivePin takes over the output of a valve. A latching coil feels it at once: its pulse comes from the controller.
func (s *Site) drivePin(d *drive, at signal.Time, pin harness.Pin) {
	before, was := d.pin, d.on
	if d.drive != sitefile.Latching {
		if d.switched(pin) {
			s.supplied.dirty = true
		}
		return
	}
	if was && d.circuit() < openCircuit { // the charge of the pulse that ends is missing in the battery
		s.supplied.drawn += float64(math.Abs(before.Volts+before.VoltsAt(at)) / 2 / d.circuit() * (at - before.At).Seconds())
	}
	d.switched(pin)
	s.shareReturns()
	volts := pin.Volts * d.across()
	switch goes := d.plus(); {
	case !d.on || !d.latch.Pulls(volts):
		d.due = signal.Never
	case d.due == signal.Never || d.goes != goes: // else the pulse goes on
		d.due, d.goes = at+max(1, signal.FromSeconds(d.latch.Pulse)), goes
	}
	s.showCoil(d, at, d.on && math.Abs(volts) >= d.latch.PullIn)
	amps := 0.0
	if d.on && !d.broken() {
		amps = math.Abs(pin.Volts) / d.circuit()
	}
	s.recordCurrent(at, &d.consumer, amps)
	s.sayLifted(at)
}

// feelCoil puts the supply on a spring-return or motorised valve.
func (s *Site) feelCoil(d *drive, at signal.Time, volts float64) (load bool) {
	if d.drive == sitefile.Latching {
		return false
	}
	was := d.ohms
	changed := d.coil.Feel(volts * d.across())
	s.showCoil(d, at, d.coil.Energised)
	if d.drive == sitefile.Motorised {
		s.aim(d, at)
		return s.endSwitch(d, at)
	}
	if changed {
		s.follow(d, at)
	}
	return d.ohms != was
}

// follow lets the plunger of a spring-return valve go where its coil has it, unless it is jammed.
func (s *Site) follow(d *drive, at signal.Time) {
	if d.drive != sitefile.SpringReturn {
		return
	}
	d.due = signal.Never
	switch {
	case d.jammed > 0 || d.in == d.coil.Energised || d.in && d.grit > 0:
	case d.coil.Energised && d.ac != nil:
		d.due, d.goes = at+plunger, true
	default:
		s.place(d, at, d.coil.Energised)
	}
}

// arrive lets plunger or latch go where it is due: a latch if its pulse is still strong enough.
func (s *Site) arrive(d *drive, at signal.Time) {
	if d.drive == sitefile.Latching && !d.latch.Pulls(d.pin.VoltsAt(at)*d.across()) {
		d.due = signal.Never
		return
	}
	s.place(d, at, d.goes)
}

// place puts plunger or latch where it goes.
func (s *Site) place(d *drive, at signal.Time, in bool) {
	d.due = signal.Never
	if d.jammed > 0 || d.in == in || d.in && d.grit > 0 {
		return
	}
	d.in = in
	if d.ac != nil {
		d.ohms = d.ac.impedance(in)
		s.supplied.dirty = true
	}
	s.aim(d, at)
}

// endSwitch cuts the motor off at the end that it turns to, and tells whether that has changed.
func (s *Site) endSwitch(d *drive, at signal.Time) bool {
	before := d.ended
	d.ended = d.at(at) == state(d.plus())
	return d.ended != before
}

func (s *Site) showCoil(d *drive, at signal.Time, on bool) {
	if on != d.coilOn {
		d.coilOn = on
		s.put(at, d.coilID, state(on))
	}
}
