// Package wiring is the electrical side of a simulated site: the supply of the controller, the coils on its outputs,
// and the contacts, meters and probes on its inputs. It is no API: fakes/site puts it together with water and soil.
//
// How it is built. The board is the controller's end of the wires; the supply is worked out when something on it
// changes, and knows what it feeds by small interfaces; each device is one file; Wires is the table of them all.
package wiring

import (
	"math"

	"ullage/fakes/site/internal/beds"
	"ullage/fakes/site/internal/device"
	"ullage/fakes/site/internal/hydraulics"
	"ullage/harness"
	"ullage/harness/signal"
)

// What follows the water, held by the compiler: hydraulics finds it by its method.
var _ = []hydraulics.Follower{(*floatSwitch)(nil), (*meter)(nil)}

// Wires are the wires of a site. They are used for one run, from one goroutine.
type Wires struct {
	*supply
	water     *hydraulics.Water
	draw      harness.Draw
	actuators []*actuator
	contacts  []*floatSwitch
	meters    []input
	inputs    []input
}

// An input is a device that an input of the controller is wired to.
type input interface {
	// start sends its state to a controller that does not know it yet.
	start(at signal.Time)
	// next is the next moment at which it has something new by itself.
	next() signal.Time
	// pass makes what is due at a moment.
	pass(at signal.Time)
}

// New returns the wires of a site before any device is opened.
func New(bench *device.Bench, water *hydraulics.Water, draw harness.Draw) *Wires {
	b := &board{terminals: harness.Terminals(water.Spec)}
	b.outputs = make([]func(signal.Time, harness.Pin), len(b.terminals))
	b.given = make([]harness.Pin, len(b.terminals))
	for i := range b.given {
		b.given[i] = harness.Pin{Terminal: i, Ohms: math.Inf(1)}
	}
	return &Wires{supply: newSupply(bench, b, water.Spec), water: water, draw: draw}
}

// OpenMeters opens the water meters.
func (w *Wires) OpenMeters() {
	for _, x := range w.water.Spec.Meters {
		w.meters = append(w.meters, openMeter(w.supply, w.water, x, w.draw))
	}
}

// OpenValves opens the valves, each with its coil or motor.
func (w *Wires) OpenValves() {
	var names []string
	for _, x := range w.water.Spec.Valves {
		w.actuators, names = append(w.actuators, openActuator(w.supply, w.water, x)), append(names, x.Name)
	}
	openOutputExchange(w.supply, names)
}

// OpenPumps opens the pumps, each with its contactor.
func (w *Wires) OpenPumps() {
	for _, x := range w.water.Spec.Pumps {
		openContactor(w.supply, w.water, x)
	}
}

// OpenInputs opens contacts and probes, once water, beds and everything on the outputs are open. At one moment contacts
// come before meters, and meters before probes.
func (w *Wires) OpenInputs(soil *beds.Beds) {
	site := w.water.Spec
	for _, x := range site.Contacts {
		f := openContact(w.supply, w.water, x, w.draw)
		w.contacts, w.inputs = append(w.contacts, f), append(w.inputs, f)
	}
	openExchange(w.supply, w.contacts)
	w.inputs = append(w.inputs, w.meters...)
	for _, x := range site.Probes {
		w.inputs = append(w.inputs, openProbe(w.supply, soil.Place(x.Name), x, site.Controller.Board.Rail.SI, w.draw))
	}
}

// OpenSupply opens the supply, once everything that it feeds is open.
func (w *Wires) OpenSupply() { w.supply.open() }

// Next is the next moment at which the wires have something new by themselves.
func (w *Wires) Next() signal.Time {
	next := w.ends
	for _, a := range w.actuators {
		next = min(next, a.next())
	}
	for _, x := range w.inputs {
		next = min(next, x.next())
	}
	return next
}

// PassSupply lets coils and supply do what is due at a moment.
func (w *Wires) PassSupply(at signal.Time) {
	for _, a := range w.actuators {
		a.pass(at)
	}
	w.supply.pass(at)
}

// PassInputs lets the inputs do what is due at a moment.
func (w *Wires) PassInputs(at signal.Time) {
	for _, x := range w.inputs {
		x.pass(at)
	}
}

// Start works out the supply for the first time and sends the controller the state of every input, power last.
func (w *Wires) Start(at signal.Time) {
	w.energise(at)
	w.live = true
	for _, x := range w.inputs {
		x.start(at)
	}
	w.supply.start(at)
}

// Drive takes over the outputs that the controller has changed at a moment.
func (w *Wires) Drive(at signal.Time, outputs []harness.Pin) {
	for _, pin := range outputs {
		w.given[pin.Terminal] = pin
		if drive := w.outputs[pin.Terminal]; drive != nil {
			drive(at, pin)
		}
	}
	w.settleSupply(at)
}

// StopMotors cuts off the motors that have come to an end.
func (w *Wires) StopMotors(at signal.Time) {
	for _, a := range w.actuators {
		if a.runsMotor() && a.endSwitch(at) {
			w.dirty = true
		}
	}
	w.settleSupply(at)
}

func (w *Wires) settleSupply(at signal.Time) {
	if w.dirty {
		w.energise(at)
	}
}

// Sent returns the pins that the controller is to be given, and forgets them; they are valid until the next call of
// another method.
func (w *Wires) Sent() []harness.Pin {
	pins := w.pins
	w.pins = w.pins[:0]
	return pins
}

// Close records where levels at floats, charge and temperatures stand at the end of the run.
func (w *Wires) Close(at signal.Time) {
	for _, f := range w.contacts {
		f.recordLevel(at)
	}
	w.supply.close(at)
	for _, a := range w.actuators {
		a.close(at)
	}
}
