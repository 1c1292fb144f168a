package wiring

import (
	"math"
	"slices"

	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// sharedReturn is a return wire that a contact shares with coils and motors.
type sharedReturn struct {
	own   float64    // Ω, by the site file
	added float64    // knob: Ω besides
	coils []*circuit // those of the outputs that the site file names, or all
}

func newSharedReturn(spec *sitefile.SharedReturn, loads []load) (r sharedReturn) {
	var names []string
	if spec != nil {
		r.own, names = spec.Resistance.SI, spec.SharedWith
	}
	for _, x := range loads {
		if c := x.wires(); len(names) == 0 || slices.Contains(names, c.name) {
			r.coils = append(r.coils, c)
		}
	}
	return r
}

// ohms is the resistance of the wire, Ω.
func (r *sharedReturn) ohms() float64 { return r.own + r.added }

// share adds to the circuits of coils what the wire that they share is to them. The coils that are on lift the wire
// together, by its resistance R times the sum of their currents; to one of conductance G that is like R ΣG / G ohms of
// its own (Ohm's and Kirchhoff's laws, for coils that hang on one voltage). Of several wires the worst counts.
func (r *sharedReturn) share() {
	ohms, sum := r.ohms(), 0.0
	if ohms == 0 {
		return
	}
	for _, c := range r.coils {
		sum += c.conducts()
	}
	for _, c := range r.coils {
		if g := c.conducts(); g > 0 {
			c.common = math.Max(c.common, ohms*sum/g)
		}
	}
}

// lifted is by how much the currents of coils lift the wire above the controller's ground at a moment, V, and how fast
// that rises, V/s, with the supply at a voltage that rises so fast.
func (r *sharedReturn) lifted(at signal.Time, supply, supplyRises float64) (volts, slope float64) {
	ohms := r.ohms()
	if ohms == 0 {
		return 0, 0
	}
	for _, c := range r.coils {
		if c.conducts() > 0 {
			source, rises := supply, supplyRises
			if !c.fed { // its polarity does not matter to the return
				source, rises = math.Abs(c.pin.VoltsAt(at)), math.Copysign(c.pin.Slope, c.pin.Slope*c.pin.Volts)
			}
			volts += float64(source * (ohms / c.total()))
			slope += float64(rises * (ohms / c.total()))
		}
	}
	return volts, slope
}
