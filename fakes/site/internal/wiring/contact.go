package wiring

import (
	"ullage/fakes/internal/contact"
	"ullage/fakes/site/internal/hydraulics"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// floatSwitch is a float switch in its tank, with its lead.
type floatSwitch struct {
	contact.Float
	crossing
	supply               *supply
	spec                 sitefile.Contact
	terminal             int
	operatedID, closedID signal.ID
	draw                 contact.Draw
	last                 harness.Pin // that was sent

	returns      sharedReturn
	coupled      coupling
	exchanged    float64 // knob: its lead is exchanged with that of the contact so many terminals further on
	ownsTerminal int     // by the site file
}

// kinds are the kinds of contact by their names in the site file.
var kinds = map[string]contact.Kind{sitefile.Mechanical: contact.Mechanical, sitefile.Reed: contact.Reed}

// openContact declares a float switch and offers its knobs.
func openContact(p *supply, water *hydraulics.Water, spec sitefile.Contact, draw harness.Draw) *floatSwitch {
	name, terminal := signal.Contact(spec.Name), p.inputOf(spec.Name)
	f := &floatSwitch{supply: p, spec: spec, terminal: terminal, ownsTerminal: terminal,
		operatedID: p.Declare(name.Operated()), closedID: p.Declare(name.Closed()),
		crossing: newCrossing(p.Bench, water, water.Tank(spec.In), name.Level()),
		returns:  newSharedReturn(spec.Return, p.loads), coupled: coupling{ends: signal.Never},
		Float: contact.Float{Operates: spec.Operates.SI, Releases: spec.Releases.SI,
			ClosedAtRest: spec.Normally == "closed",
			Kind:         kinds[spec.Kind], Lead: spec.Lead.SI, Leak: spec.Leak.SI}}
	f.draw = func(purpose string, ordinal uint64) float64 { return draw.Uniform(spec.Name, purpose, ordinal) }
	level, _ := f.tank.Mean(0)
	f.Start(level)
	p.PutState(0, f.operatedID, f.Operated())
	p.PutState(0, f.closedID, f.Closed())
	f.offer()
	p.neighbours = append(p.neighbours, f)
	water.Add(f)
	return f
}

// offer offers the contact's knobs.
func (f *floatSwitch) offer() {
	offer := f.supply.Knobs(f.spec.Name, "contact", func(at signal.Time) {
		f.Turn(at, f.draw)
		f.supply.PutState(at, f.operatedID, f.Operated())
		f.Follow(at)
		f.advance(at)
	})
	offer(fault.Knob{Name: "jam", Min: -1, Max: 1, Join: fault.Replace}, &f.Jam)
	offer(fault.Knob{Name: "lead", Dim: quantity.Resistance, Max: 1e12, Join: fault.Add}, &f.Broken)
	offer(fault.Knob{Name: "short", Dim: quantity.State, Max: 1, Join: fault.Largest}, &f.Shorted)
	offer(fault.Knob{Name: "leak", Dim: quantity.Resistance, Min: 1, Max: 1e12, Rest: 1e12, Join: fault.Smallest},
		&f.Wet)
	offer(fault.Knob{Name: "hung", Dim: quantity.Length, Max: 5, Join: fault.Largest}, &f.Hung)
	offer(fault.Knob{Name: "sunk", Dim: quantity.Length, Max: 5, Join: fault.Largest}, &f.Sunk)
	offer(fault.Knob{Name: "inverted", Dim: quantity.State, Max: 1, Join: fault.Largest}, &f.Inverted)
	offer(fault.Knob{Name: "coupling", Dim: quantity.Resistance, Min: 1, Max: 1e12, Rest: 1e12, Join: fault.Smallest},
		&f.coupled.ohms)
	offer(fault.Knob{Name: "kick", Dim: quantity.Voltage, Max: 1000, Join: fault.Largest}, &f.coupled.clamp)
	offer(fault.Knob{Name: "kick time", Dim: quantity.Duration, Max: 1, Join: fault.Largest}, &f.coupled.constant)
	offer(fault.Knob{Name: "bounce time", Dim: quantity.Duration, Max: 60, Join: fault.Largest}, &f.BounceTime)
	offer(fault.Knob{Name: "bounce edges", Dim: quantity.Count, Max: 1000, Join: fault.Largest}, &f.BounceEdges)
	f.supply.Knobs(f.spec.Name, "contact", func(signal.Time) { f.supply.dirty = true })(
		fault.Knob{Name: "return", Dim: quantity.Resistance, Max: 1e3, Join: fault.Add}, &f.returns.added)
}

// Follow finds when the level reaches the float's threshold within the present step.
func (f *floatSwitch) Follow(from signal.Time) {
	threshold, rising := f.Threshold()
	f.follow(from, threshold, rising)
}

func (f *floatSwitch) next() signal.Time {
	return min(f.crosses, f.looks, f.Next(), f.coupled.ends)
}

// pass lets the float change and its contact make the edges that are due.
func (f *floatSwitch) pass(at signal.Time) {
	for min(f.crosses, f.looks) <= at {
		when := min(f.crosses, f.looks)
		if f.crosses == when {
			f.Cross(when, f.draw)
			f.supply.PutState(when, f.operatedID, f.Operated())
		}
		f.Follow(when)
	}
	f.coupled.pass(at)
	f.advance(at)
}

// advance makes the contact's edges that are due and sends what changed.
func (f *floatSwitch) advance(at signal.Time) {
	for f.Next() <= at {
		when := f.Next()
		if f.Advance(when) {
			f.supply.PutState(when, f.closedID, f.Closed())
		}
	}
	f.sendIfChanged(at)
}

// sendIfChanged sends the controller the pin of the contact where it is another than was sent last.
func (f *floatSwitch) sendIfChanged(at signal.Time) {
	if f.terminal < 0 || !f.supply.live {
		return
	}
	if pin := f.pin(at); pin.Terminal != f.last.Terminal || pin.Ohms != f.last.Ohms || pin.Slope != f.last.Slope ||
		pin.Volts != f.last.VoltsAt(at) {
		f.last = pin
		f.supply.send(pin)
	}
}

// start sends the controller the pin of the contact for the first time.
func (f *floatSwitch) start(at signal.Time) {
	f.last = f.pin(at)
	if f.terminal >= 0 {
		f.supply.send(f.last)
	}
}

// pin is what the terminal meets of the contact: its resistance to a return that is ground, or that the currents of
// coils have lifted.
func (f *floatSwitch) pin(at signal.Time) harness.Pin {
	pin := harness.Pin{At: at, Terminal: f.terminal, Ohms: f.Ohms()}
	if pin.Ohms < openCircuit {
		pin.Ohms += f.returns.ohms()
		volts, rises := f.supply.line(at)
		pin.Volts, pin.Slope = f.returns.lifted(at, volts, rises)
	}
	if f.coupled.kicks() {
		return f.coupled.onto(pin)
	}
	return pin
}

// shareReturn adds to the circuits of coils what the return wire that they share with the contact is to them.
func (f *floatSwitch) shareReturn() { f.returns.share() }

// sendReturn sends what the currents of coils have made of the contact's return.
func (f *floatSwitch) sendReturn(at signal.Time) {
	if f.returns.ohms() > 0 || f.last.Volts != 0 || f.last.Slope != 0 {
		f.sendIfChanged(at)
	}
}

// kick lets a coil at so many volts that its output lets go of pull at the wire of the contact.
func (f *floatSwitch) kick(at signal.Time, volts float64) {
	if f.coupled.begins(at, volts) {
		f.advance(at)
	}
}
