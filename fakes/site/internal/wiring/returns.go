package wiring

import (
	"math"
	"slices"

	"ullage/harness/signal"
)

// openReturn notes which coils and motors return through the wire of the contact: those of the outputs that the site file
// names, or all.
func (f *floatSwitch) openReturn() {
	var names []string
	if r := f.spec.Return; r != nil {
		f.returnOhms, names = r.Resistance.SI, r.SharedWith
	}
	for _, x := range f.supply.loads {
		if c := x.wires(); len(names) == 0 || slices.Contains(names, c.name) {
			f.shared = append(f.shared, c)
		}
	}
}

// sharedOhms is the resistance of the return wire that a contact shares with coils, Ω.
func (f *floatSwitch) sharedOhms() float64 { return f.returnOhms + f.addedReturn }

// shareReturn adds to the circuits of coils what the wire that they share is to them. The coils that are on lift the wire
// together, by its resistance R times the sum of their currents; to one of conductance G that is like R ΣG / G ohms of its
// own (Ohm's and Kirchhoff's laws, for coils that hang on one voltage). Of several wires the worst counts.
func (f *floatSwitch) shareReturn() {
	ohms, sum := f.sharedOhms(), 0.0
	if ohms == 0 {
		return
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

// lifted is by how much the currents of coils lift the contact's return above the controller's ground at a moment, V, and
// how fast that rises, V/s.
func (f *floatSwitch) lifted(at signal.Time) (volts, slope float64) {
	ohms := f.sharedOhms()
	if ohms == 0 {
		return 0, 0
	}
	for _, c := range f.shared {
		if g := c.conducts(); g > 0 {
			source, rises := f.supply.line(at)
			if !c.fed { // its polarity does not matter to the return
				source, rises = math.Abs(c.pin.VoltsAt(at)), math.Copysign(c.pin.Slope, c.pin.Slope*c.pin.Volts)
			}
			volts += float64(source * (ohms / c.total()))
			slope += float64(rises * (ohms / c.total()))
		}
	}
	return volts, slope
}

// sendReturn sends what the currents of coils have made of the contact's return.
func (f *floatSwitch) sendReturn(at signal.Time) {
	if f.sharedOhms() > 0 || f.last.Volts != 0 || f.last.Slope != 0 {
		f.sendIfChanged(at)
	}
}
