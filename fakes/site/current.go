package site

import (
	"math"

	"ullage/harness"
	"ullage/harness/signal"
)

// returned is the wire through which the currents of coils go back, and with them those of contacts.
type returned struct {
	load *consumer // what hangs on the output
	pin  harness.Pin
}

// current is what an output drives through its coil or motor at a moment, A, whichever way, and how fast it rises, A/s.
func (r *returned) current(at signal.Time) (amps, slope float64) {
	if r.load == nil {
		return 0, 0
	}
	pin := r.pin
	if r.load.failed != 0 {
		pin = r.load.pin
	}
	if pin.Ohms > openCircuit || r.load.ended || r.load.broken() {
		return 0, 0
	}
	ohms := r.load.circuit()
	return math.Abs(pin.VoltsAt(at)) / ohms, math.Copysign(pin.Slope, pin.Slope*pin.Volts) / ohms
}

// load is what hangs on the outputs that bear a device's name; nil when nothing does.
func (s *Site) load(device string) *consumer {
	for _, d := range s.drives {
		if d.spec.Name == device {
			return &d.consumer
		}
	}
	for _, p := range s.pumps {
		if p.spec.Name == device {
			return &p.consumer
		}
	}
	return nil
}

// openReturnWires listens to the outputs whose coils share a return wire with contacts.
func (s *Site) openReturnWires() {
	s.returns = make([]*returned, len(s.terminals))
	for i, t := range s.terminals {
		if t.Kind != harness.OutputTerminal {
			continue
		}
		r := &returned{load: s.load(t.Name), pin: harness.Open(0, i)}
		s.returns[i] = r
		coil := s.outputs[i]
		s.outputs[i] = func(at signal.Time, pin harness.Pin) {
			s.kick(at, r, pin)
			r.pin = pin
			if coil != nil {
				coil(at, pin)
			}
			for _, f := range s.floats {
				if f.sharedOhms() > 0 && f.shares(i) {
					f.tell(s, at)
				}
			}
		}
	}
}

// sharedOhms is the resistance of the return wire that a contact shares with coils, Ω.
func (f *float) sharedOhms() float64 { return f.returnOhms + f.addedReturn }

// shares tells whether the coil at an output returns through the same wire.
func (f *float) shares(output int) bool { return f.sharedWith == nil || f.sharedWith[output] }

// lifted is by how much the currents of coils lift the contact's return above the controller's ground at a moment, V, and
// how fast that rises, V/s.
func (f *float) lifted(s *Site, at signal.Time) (volts, slope float64) {
	ohms := f.sharedOhms()
	if ohms == 0 {
		return 0, 0
	}
	for i, r := range s.returns {
		if r != nil && f.shares(i) {
			amps, rises := r.current(at)
			volts += float64(amps * ohms)
			slope += float64(rises * ohms)
		}
	}
	return volts, slope
}
