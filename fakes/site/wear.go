package site

import (
	"math"

	"ullage/harness/fault"
	"ullage/harness/quantity"
)

// wear is what has become of a pump, its motor and its contactor.
type wear struct {
	head   float64 // knob: share of its head that it still gives, and of the square of its flow
	seized float64 // knob: its motor does not start: above 0
	welded float64 // knob: its contactor does not come out once it is in: above 0
	in     bool    // the contactor
}

// pulls lets the contactor follow its coil.
func (w *wear) pulls(energised bool) { w.in = energised || w.welded > 0 && w.in }

// speed is that of a new pump with the same curve: head goes with its square, flow with itself (the affinity laws).
func (w *wear) speed() float64 { return math.Sqrt(w.head) }

func (s *Site) offerWear(p *pump, panel *fault.Panel) {
	for _, k := range []struct {
		fault.Knob
		value *float64
	}{
		{fault.Knob{Name: "head", Dim: quantity.Fraction, Min: 0.01, Max: 1, Rest: 1, Join: fault.Multiply}, &p.wear.head},
		{fault.Knob{Name: "seized", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.wear.seized},
		{fault.Knob{Name: "welded", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.wear.welded},
	} {
		k.Device, k.Kind = p.spec.Name, "pump"
		s.offer(panel, k.Knob, k.value, s.jumps)
	}
}
