package site

import (
	"slices"

	"ullage/harness/fault"
	"ullage/harness/signal"
)

// knob is what a fault or a stimulus turns at one device. It waits until the site has come to the moment at which it was
// turned. All knobs of a moment take their values before any of them shows an effect, and one that ends where it stood
// shows none: the order of turning does not matter, and a knob at rest is no knob.
type knob struct {
	value  *float64 // of the device
	wanted float64
	turned bool
	number int // in the order of offering
	effect func()
}

// offer offers a knob that sets a value of a device, which stands at rest now, and then has an effect.
func (s *Site) offer(panel *fault.Panel, k fault.Knob, value *float64, effect func()) {
	*value = k.Rest
	s.offered++
	x := &knob{value: value, wanted: k.Rest, number: s.offered, effect: effect}
	k.Set = func(_ signal.Time, v float64) error {
		x.wanted = v
		if !x.turned {
			x.turned = true
			s.turned = append(s.turned, x)
		}
		return nil
	}
	panel.Offer(k)
}

// turnKnobs does what was asked of the knobs since the last time.
func (s *Site) turnKnobs() {
	if len(s.turned) == 0 {
		return
	}
	slices.SortFunc(s.turned, func(a, b *knob) int { return a.number - b.number })
	changed := s.turned[:0]
	for _, k := range s.turned {
		k.turned = false
		if *k.value != k.wanted {
			*k.value = k.wanted
			changed = append(changed, k)
		}
	}
	for _, k := range changed {
		k.effect()
	}
	s.turned = s.turned[:0]
}
