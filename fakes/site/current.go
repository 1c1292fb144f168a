package site

import (
	"ullage/harness"
	"ullage/harness/signal"
)

// returned is the wire through which the currents of coils go back, and with them those of contacts.
type returned struct {
	terminal int     // output whose coil returns through it
	ohms     float64 // Ω of the coil
	pin      harness.Pin
}

// current is the steady current that an output drives through its coil at a moment, A, and how fast it rises, A/s: the
// volts of its pin over the resistances of driver and coil. Inrush and impedance are left out.
func (r *returned) current(at signal.Time) (amps, slope float64) {
	if r.pin.Ohms > openCircuit || r.pin.Ohms+r.ohms == 0 {
		return 0, 0
	}
	return r.pin.VoltsAt(at) / (r.pin.Ohms + r.ohms), r.pin.Slope / (r.pin.Ohms + r.ohms)
}

// coilOhms is the resistance of the coil of a valve or pump, Ω.
func (s *Site) coilOhms(device string) float64 {
	for _, v := range s.spec.Valves {
		if v.Name == device {
			return v.Coil.SI
		}
	}
	for _, p := range s.spec.Pumps {
		if p.Name == device {
			return p.Coil.SI
		}
	}
	return 0
}

// openReturnWires listens to the outputs whose coils share a return wire with contacts.
func (s *Site) openReturnWires() {
	s.returns = make([]*returned, len(s.terminals))
	for i, t := range s.terminals {
		if t.Kind != harness.OutputTerminal {
			continue
		}
		r := &returned{terminal: i, ohms: s.coilOhms(t.Name), pin: harness.Open(0, i)}
		s.returns[i] = r
		coil := s.outputs[i]
		s.outputs[i] = func(at signal.Time, pin harness.Pin) {
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
