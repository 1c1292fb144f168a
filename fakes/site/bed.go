package site

import (
	"math"

	"ullage/fakes/soil"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// bed is a planted bed with what waters it. Its moisture runs in straight lines of its own, which go on through the steps
// of the water as long as what falls on it stays the same.
type bed struct {
	soil.Bed
	spec    sitefile.Bed
	watered []*curve // flows that fall on it

	since, until signal.Time // the present straight line
	ahead        float64     // moisture at until
	steady       bool        // the same flow falls on it all along
	falls        float64     // m³/s, that flow
	losing       bool        // water drains or runs off until then

	moisture curve
	lost     curve
	dried    curve // evaporated and taken up
}

// straightness is how far the moisture may depart from the straight line that trace and probe follow: a twentieth of the
// least step of a 12-bit converter.
const straightness = 1e-5

func (s *Site) openBeds() {
	for _, spec := range s.spec.Beds {
		b := &bed{spec: spec, Bed: soil.Bed{Area: spec.Area.SI, Depth: spec.Depth.SI, Saturation: spec.Saturation.SI,
			Capacity: spec.FieldCapacity.SI, Wilting: spec.WiltingPoint.SI, Depletion: soil.UsualDepletion,
			Evaporates: spec.Evapotranspiration.SI, Drains: spec.Drains.SI, Water: spec.Starts.SI * spec.Depth.SI},
			moisture: newCurve(s.record, spec.Name, "moisture", quantity.Fraction),
			lost:     newCurve(s.record, spec.Name, "lost", quantity.Volume),
			dried:    newCurve(s.record, spec.Name, "evaporated", quantity.Volume)}
		for _, o := range s.spec.Outlets {
			if o.Onto == spec.Name {
				b.watered = append(b.watered, s.flows[o.Name])
			}
		}
		for _, l := range s.spec.Laterals {
			if l.Onto == spec.Name {
				b.watered = append(b.watered, s.flows[l.Name])
			}
		}
		s.beds = append(s.beds, b)
		b.moisture.to(0, b.Moisture())
		b.lost.to(0, 0)
		b.dried.to(0, 0)
	}
	s.lost = newCurve(s.record, "site", "lost", quantity.Volume)
	s.lost.to(0, 0)
}

// flow is the mean flow that falls on the bed between two moments of the present step.
func (b *bed) flow(s *Site, from, to signal.Time) float64 {
	sum := 0.0
	for _, c := range b.watered {
		sum += (c.at(s.share(from)) + c.at(s.share(to))) / 2
	}
	return sum
}

// level tells whether what falls on the bed does not change in the present step.
func (b *bed) level() bool {
	for _, c := range b.watered {
		if c.start != c.end {
			return false
		}
	}
	return true
}

// goesOn tells whether the present straight line is still right in a step that begins at a moment.
func (b *bed) goesOn(s *Site, at signal.Time) bool {
	return b.steady && at < b.until && b.level() && b.flow(s, at, at) == b.falls
}

// begin looks ahead from a moment: until when the moisture runs straight, and where to.
func (b *bed) begin(s *Site, at signal.Time) {
	b.cut(s, at)
	b.moisture.anchor()
	b.dried.anchor()
	b.falls = b.flow(s, at, s.t1)
	straight := at + signal.FromSeconds(math.Min(longest, b.Straight(b.falls, straightness)))
	b.until = min(s.t1, straight)
	b.steady = b.level()
	look := b.Bed
	look.Advance((straight - at).Seconds(), b.falls)
	if b.losing = look.Drained != b.Drained || look.RunOff != b.RunOff; b.losing {
		b.steady = false // the site's total follows the steps of the water
		b.lost.anchor()
		s.recordLost(at)
		s.lost.anchor()
	}
	if b.steady {
		b.until = straight
	} else {
		look = b.Bed
		look.Advance((b.until - at).Seconds(), b.flow(s, at, b.until))
	}
	b.ahead = look.Moisture()
	s.tellProbes(at, b)
}

// cut brings the bed to a moment.
func (b *bed) cut(s *Site, at signal.Time) {
	if at == b.since {
		return
	}
	if !b.steady {
		b.falls = b.flow(s, b.since, at)
	}
	b.Advance((at - b.since).Seconds(), b.falls)
	b.since = at
	b.moisture.to(at, b.Moisture())
	b.lost.to(at, b.Drained+b.RunOff)
	b.dried.to(at, b.Evaporated)
}

// slope is the change of the moisture per second on the present straight line.
func (b *bed) slope() float64 {
	if b.until == b.since {
		return 0
	}
	return (b.ahead - b.Moisture()) / (b.until - b.since).Seconds()
}
