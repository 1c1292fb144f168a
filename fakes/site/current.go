package site

import (
	"math"

	"ullage/harness/signal"
)

// share notes which coils and motors return through the wire of the contact: those of the outputs that the site file names,
// or all.
func (f *float) share(s *Site) {
	all := true
	if r := f.spec.Return; r != nil {
		f.returnOhms, all = r.Resistance.SI, len(r.SharedWith) == 0
	}
	for _, c := range s.supplied.consumers {
		named := false
		for i := 0; !all && i < len(f.spec.Return.SharedWith); i++ {
			named = named || f.spec.Return.SharedWith[i] == c.name
		}
		if all || named {
			f.shared = append(f.shared, c)
		}
	}
}

// sharedOhms is the resistance of the return wire that a contact shares with coils, Ω.
func (f *float) sharedOhms() float64 { return f.returnOhms + f.addedReturn }

// shareReturns works out what the return wires that contacts share add to the circuits of coils. The coils that are on lift
// a wire together, by its resistance R times the sum of their currents; to one of conductance G that is like R ΣG / G ohms
// of its own (Ohm's and Kirchhoff's laws, for coils that hang on one voltage). Of several wires the worst counts.
func (s *Site) shareReturns() {
	for _, c := range s.supplied.consumers {
		c.common = 0
	}
	for _, f := range s.floats {
		ohms, sum := f.sharedOhms(), 0.0
		if ohms == 0 {
			continue
		}
		for _, c := range f.shared {
			sum += c.conducts()
		}
		for _, c := range f.shared {
			if g := c.conducts(); g > 0 {
				c.common = math.Max(c.common, ohms*sum/g)
			}
		}
	}
}

// lifted is by how much the currents of coils lift the contact's return above the controller's ground at a moment, V, and
// how fast that rises, V/s.
func (f *float) lifted(s *Site, at signal.Time) (volts, slope float64) {
	ohms := f.sharedOhms()
	if ohms == 0 {
		return 0, 0
	}
	for _, c := range f.shared {
		if g := c.conducts(); g > 0 {
			source, rises := s.supplied.line(at)
			if !c.fed { // its polarity does not matter to the return
				source, rises = math.Abs(c.pin.VoltsAt(at)), math.Copysign(c.pin.Slope, c.pin.Slope*c.pin.Volts)
			}
			volts += float64(source * (ohms / c.circuit()))
			slope += float64(rises * (ohms / c.circuit()))
		}
	}
	return volts, slope
}

// sayLifted tells the terminals of contacts what the currents of coils have made of their returns.
func (s *Site) sayLifted(at signal.Time) {
	for _, f := range s.floats {
		if f.sharedOhms() > 0 || f.told.Volts != 0 || f.told.Slope != 0 {
			f.say(s, at)
		}
	}
}
