package site

import (
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/sitefile"
)

// debris lies on the seat of a valve until the water has carried it away.
type debris struct {
	opening float64 // knob: share of the stroke at which it holds the disc; 0: none
	strokes float64 // knob: so often the disc comes down on it
	flushed int     // how often the water has lifted the disc off it
}

// holds is the share of the stroke below which the disc does not come.
func (b *debris) holds() float64 {
	if float64(b.flushed) >= b.strokes {
		return 0
	}
	return b.opening
}

// lift notes that the disc leaves the debris and the water rushes over it.
func (b *debris) lift(disc, target float64) {
	if held := b.holds(); held > 0 && disc == held && target > disc {
		b.flushed++
	}
}

// offerDebris offers the debris on a valve's seat.
func (s *Site) offerDebris(d *drive, panel *fault.Panel) {
	again := func() {
		d.debris.flushed = 0
		s.aim(d, s.now)
	}
	s.offer(panel, fault.Knob{Device: d.spec.Name, Kind: "valve", Name: "debris", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, &d.debris.opening, again)
	s.offer(panel, fault.Knob{Device: d.spec.Name, Kind: "valve", Name: "debris strokes", Dim: quantity.Count, Max: 1000, Join: fault.Largest}, &d.debris.strokes, again)
}

// offerByHand offers what opens a valve besides its coil: grit under the plunger, which has lifted once and does not come
// back, and the bleed screw or lever that somebody has turned. A motorised valve has neither.
func (s *Site) offerByHand(d *drive, panel *fault.Panel) {
	if d.drive == sitefile.Motorised {
		return
	}
	s.offer(panel, fault.Knob{Device: d.spec.Name, Kind: "valve", Name: "pilot grit", Dim: quantity.State, Max: 1, Join: fault.Largest},
		&d.grit, func() { s.follow(d, s.now) })
	s.offer(panel, fault.Knob{Device: d.spec.Name, Kind: "valve", Name: "bleed open", Dim: quantity.State, Max: 1, Join: fault.Largest},
		&d.bled, func() { s.aim(d, s.now) })
}

// crack is the differential that lifts the diaphragm of a valve which is fitted the wrong way round: that of its spring
// alone (common practice, no source).
const crack = 0.1e5 // Pa

// lifted tells whether the water is to lift the diaphragm, and the differential that it takes. Fitted the wrong way round,
// the room over the diaphragm is fed from behind, where there is no pressure: the water lifts the diaphragm against the
// spring, whatever the coil does, and nothing but a lack of pressure lets it down.
func (p *pilot) lifted() (lifted bool, opensAt float64) {
	if p.turned > 0 {
		return true, crack
	}
	return p.energised, p.spec.OpensAt.SI
}

// offerTurned offers to fit a valve the wrong way round.
func (s *Site) offerTurned(d *drive, panel *fault.Panel) {
	s.offer(panel, fault.Knob{Device: d.spec.Name, Kind: "valve", Name: "backwards", Dim: quantity.State, Max: 1, Join: fault.Largest},
		&d.pilot.turned, func() { s.turn = true })
}
