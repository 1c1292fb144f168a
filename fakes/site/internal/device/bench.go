// Package device is what the devices of a simulated site are built with: signals that they record, knobs that faults
// turn, and the search for the moment at which something happens. It is no API: only the parts of fakes/site use it,
// from one goroutine.
package device

import (
	"slices"

	"ullage/harness/fault"
	"ullage/harness/signal"
)

// Bench is where the devices of one run declare their signals, record them and offer their knobs.
type Bench struct {
	record  signal.Recorder
	panel   *fault.Panel
	offered int     // number of knobs
	turned  []*knob // since the effects were last worked out
}

// NewBench returns a bench for one run.
func NewBench(record signal.Recorder, panel *fault.Panel) *Bench {
	return &Bench{record: record, panel: panel}
}

// Declare declares a signal that is recorded by Put.
func (b *Bench) Declare(s signal.Signal) signal.ID { return b.record.Declare(s) }

// Put records a value of a signal at a moment.
func (b *Bench) Put(at signal.Time, id signal.ID, value float64) {
	b.record.Put(signal.Change{At: at, ID: id, Value: value})
}

// PutState records whether something is on at a moment.
func (b *Bench) PutState(at signal.Time, id signal.ID, on bool) { b.Put(at, id, State(on)) }

// State is what a state is recorded as: 1 on, 0 off.
func State(on bool) float64 {
	if on {
		return 1
	}
	return 0
}

// knob is what a fault or a stimulus turns at one device. It waits until the site has come to the moment at which it
// was turned. All knobs of a moment take their values before any of them shows an effect, and one that ends where it
// stood shows none: the order of turning does not matter, and a knob at rest is no knob.
type knob struct {
	value  *float64 // of the device
	wanted float64
	turned bool
	number int // in the order of offering
	effect func(at signal.Time)
}

// Offer offers a knob that sets a value of a device, which stands at rest now, and then has an effect.
func (b *Bench) Offer(k fault.Knob, value *float64, effect func(at signal.Time)) {
	*value = k.Rest
	b.offered++
	x := &knob{value: value, wanted: k.Rest, number: b.offered, effect: effect}
	k.Set = func(_ signal.Time, v float64) error {
		x.wanted = v
		if !x.turned {
			x.turned = true
			b.turned = append(b.turned, x)
		}
		return nil
	}
	b.panel.Offer(k)
}

// Knobs returns Offer for the knobs of one device that have the same effect.
func (b *Bench) Knobs(device, kind string, effect func(at signal.Time)) func(k fault.Knob, value *float64) {
	return func(k fault.Knob, value *float64) {
		k.Device, k.Kind = device, kind
		b.Offer(k, value, effect)
	}
}

// Turn gives the knobs that were turned since the last call their values at a moment, and then lets them show their
// effects, in the order in which they were offered.
func (b *Bench) Turn(at signal.Time) {
	if len(b.turned) == 0 {
		return
	}
	slices.SortFunc(b.turned, func(x, y *knob) int { return x.number - y.number })
	changed := b.turned[:0]
	for _, k := range b.turned {
		k.turned = false
		if *k.value != k.wanted {
			*k.value = k.wanted
			changed = append(changed, k)
		}
	}
	for _, k := range changed {
		k.effect(at)
	}
	b.turned = b.turned[:0]
}
