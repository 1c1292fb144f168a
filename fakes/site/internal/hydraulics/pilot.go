package hydraulics

import (
	"math"

	"ullage/fakes/pipework"
	"ullage/fakes/site/internal/device"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// pilot moves the disc of a valve with the water's own pressure. The coil opens a small hole that empties the room over
// the diaphragm, and the pressure before the valve lifts the disc; shut, it lets the room fill, and the same pressure
// shuts it. Either way the force is the differential, the pressure before the valve less that behind it, as the network
// gives it.
//
// Energised, a seated disc rises when the differential is OpensAt. Off its seat it needs half of that, the diaphragm
// being lifted by the whole of its area: with more it rises, with less it falls, and in balance it floats and takes
// that differential from the flow. Near the seat it does not float, as the jet takes away what the area gives: there it
// falls back, and lifts again where the differential at rest is enough. That is chatter. A disc turns round only when
// the room has filled or emptied, PilotStroke later, and goes on until then.
//
// De-energised, it falls as long as the differential is SeatsAt times the twelfth power of the share of the stroke that
// it has fallen: the spring, compressed while the disc is up, does the rest, and what presses the diaphragm onto its
// seat is needed in the last part. The power is such that every disc which floats falls when its coil is let go: what
// held it up then presses it down. Where there is less it stays at once and leaves a gap, wide or narrow, until the
// differential is greater by a tenth. In water that stands under pressure, the spring alone seats it; where the pipe
// has drained, nothing fills the room. One that is seated stays seated.
//
// Water that is shut in behind a seated disc, before valves that are shut, keeps its pressure, so that nothing lifts
// the disc again until it gets away.
//
// Not modelled: a pressure from behind, which lifts a real diaphragm; a leak of the pilot; chatter quicker than two
// pilot strokes. With every fall in one run the wait before it rises again grows by a twentieth, so that a night of
// chatter has some two hundred cycles and not a hundred thousand: the flow of a long chatter comes out too small. The
// law is a balance of forces in its simplest form; its figures are common practice, no source.
type pilot struct {
	spec     sitefile.Operation
	seatsAt  float64 // knob: Pa that it needs at the least to seat
	reversed float64 // knob: it is fitted the wrong way round: above 0

	flow, before *device.Line // through the valve, and the pressure before it
	differential *device.Line
	energised    bool
	direction    int         // 1 the disc is let rise, -1 fall, 0 stay
	turns        signal.Time // when it goes another way; Never while it need not
	wait         float64     // pilot strokes before the disc rises again after its next fall
	inlet        float64     // m above the datum, height before the valve
	behind       float64     // m, head behind the disc, last when it was off its seat
	up           *pilot      // of the next valve on the way to the supply; nil when that has none
}

const (
	holding = sitefile.HoldingShare
	jet     = 0.1 // of the stroke, below which an energised disc does not float (common practice, no source)
	// of a differential, by which it must change before a disc that stands moves (common practice, no source)
	sticking = 0.1
	nothing  = 1.0  // Pa, below which a differential counts as none
	longer   = 0.05 // by which each wait before a rise is longer than the last (bounds a night of chatter)
	// Pa, that lifts the diaphragm of a valve fitted backwards against its spring alone (common practice, no source)
	crack = 0.1e5
)

// disc is the disc that a pilot moves.
type disc interface {
	At(t signal.Time) float64
	Aim(at signal.Time)
	open() bool
	closes() bool
}

// openPilot declares the pilot of a valve, by the flow through the valve and the pressure before it, and offers its
// knobs.
func openPilot(s *Step, spec sitefile.Valve, flow, pressure *device.Line) *pilot {
	from, to := s.plan.Nodes[spec.From], s.plan.Nodes[spec.Name]
	p := &pilot{spec: spec.Operation, flow: flow, before: pressure, direction: -1, turns: signal.Never, wait: 1,
		inlet: s.plan.Heights[spec.From], behind: s.plan.Heights[spec.Name]}
	p.differential = s.pressureLine(signal.Valve(spec.Name).Differential(), func() float64 {
		before, behind := s.solver.Head(from), s.solver.Head(to)
		if p.up != nil && s.solver.ShutIn(from) {
			before = p.up.behind
		}
		if s.solver.ShutIn(to) {
			behind = math.Min(before, p.behind)
		}
		return float64((before - behind) * pipework.PerMetre)
	})
	offer := s.Knobs(spec.Name, "valve", s.turns)
	offer(fault.Knob{Name: "seats at", Dim: quantity.Pressure, Max: 1e7, Join: fault.Largest}, &p.seatsAt)
	offer(fault.Knob{Name: "backwards", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.reversed)
	return p
}

// lifted reports whether the water is to lift the diaphragm, and the differential that it takes. Fitted the wrong way
// round, the room over the diaphragm is fed from behind, where there is no pressure: the water lifts the diaphragm
// against the spring, whatever the coil does, and nothing but a lack of pressure lets it down.
func (p *pilot) lifted() (lifted bool, opensAt float64) {
	if p.reversed > 0 {
		return true, crack
	}
	return p.energised, p.spec.OpensAt.SI
}

// wanted is the direction in which the disc ought to go at a share of the present step.
func (p *pilot) wanted(disc, share float64) int {
	differential := p.differential.At(share)
	lifted, opensAt := p.lifted()
	switch {
	case lifted && disc == 0 && p.direction <= 0: // seated, and not on the point of leaving
		return direction(differential >= opensAt, false)
	case lifted:
		hold := opensAt * holding
		if disc < jet {
			return direction(differential > hold*(1+sticking), differential <= hold*(1+sticking))
		}
		return direction(differential > hold*(1+sticking), differential < hold*(1-sticking))
	case disc == 0 || differential <= nothing && p.flow.At(share) == 0 && p.before.At(share) > nothing:
		return -1
	}
	fourth := (1 - disc) * (1 - disc) * (1 - disc) * (1 - disc)
	need := math.Max(p.spec.SeatsAt.SI, p.seatsAt) * fourth * fourth * fourth
	if p.direction >= 0 {
		need *= 1 + sticking
	}
	return direction(false, differential+nothing >= need)
}

func direction(up, down bool) int {
	switch {
	case up:
		return 1
	case down:
		return -1
	}
	return 0
}

// order passes on to the pilot what its coil does. A change takes effect at once: the stroke times of a valve count
// from its coil.
func (p *pilot) order(energised bool, disc, share float64) {
	if energised != p.energised {
		p.energised, p.wait = energised, 1
		p.direction, p.turns = p.wanted(disc, share), signal.Never
	}
}

// waits is how long the disc goes on as it does before it goes the way that it ought to.
func (p *pilot) waits(wanted int) signal.Time {
	seconds := p.spec.PilotStroke.SI
	if lifted, _ := p.lifted(); lifted && p.direction < 0 && wanted > 0 {
		seconds *= p.wait
		p.wait *= 1 + longer
	}
	return signal.FromSeconds(seconds)
}

// lets is what the water makes of the share of the stroke that the actuator wants.
func (p *pilot) lets(wanted, disc float64) float64 {
	switch p.direction {
	case 1:
		if p.reversed > 0 {
			return 1
		}
		return wanted
	case -1:
		return 0
	}
	return disc
}

// updateDirection works out what the differential of a moment asks of the disc.
func (p *pilot) updateDirection(d disc, at signal.Time) {
	if d.open() {
		p.behind = p.inlet + pipework.Head(p.before.Start-p.differential.Start)
	}
	switch wanted := p.wanted(d.At(at), 0); {
	case wanted == p.direction:
		p.turns = signal.Never
	case wanted == 0 && p.direction != 0:
		p.direction, p.turns = 0, signal.Never
		d.Aim(at)
	case p.turns == signal.Never:
		p.turns = at + p.waits(wanted)
	}
}

// bound shortens the step to the first moment at which the differential asks the disc to go another way.
func (p *pilot) bound(s *Step, d disc) {
	if p.turns != signal.Never {
		return
	}
	other := func(t signal.Time) bool { return p.wanted(d.At(t), s.Share(t)) != p.direction }
	end := s.t1
	if d.closes() && d.At(end) == 0 && end > s.t0+1 {
		end-- // it must get to its seat before it is there
	}
	if other(end) {
		s.shorten(device.FirstPast(s.t0, end, s.t0, other))
	}
}
