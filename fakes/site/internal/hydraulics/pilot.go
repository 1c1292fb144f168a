package hydraulics

import (
	"math"

	"ullage/fakes/pipework"
	"ullage/fakes/site/internal/device"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// pilot moves the disc of a valve with the water's own pressure. The coil opens a small hole that empties the room over
// the diaphragm, and the pressure before the valve lifts the disc; shut, it lets the room fill, and the same pressure
// shuts it. Either way the force is the differential, the pressure before the valve less that behind it.
//
// Energised, the disc rides: it rises as far as its stroke has come, but no further than where the flow still takes the
// differential OpensAt, which is what carries it. The network is solved with that law, so that the disc follows the flow
// at once and without hunting; with less than OpensAt it lies on its seat and nothing passes.
//
// De-energised, it falls from where it is. It seats when the differential that would stand across it is SeatsAt at the
// least. With less it falls only as long as the differential over what is left open is SeatsAt times the twelfth power
// of the share of the stroke that it has fallen, as the spring, compressed while the disc is up, does the rest: it stays
// there and leaves a gap, wide or narrow, until the differential is greater by a tenth. Where
// nothing flows and nothing stands across it, as when a valve before it has shut, the spring alone seats it, as it does
// on the shelf. One that is seated stays seated. As a de-energised disc only falls, it does not hunt either.
//
// The room empties and fills through holes, so that a stroke takes the longer the less the differential is, as the
// inverse of its root (flow of an orifice); the stroke times of the site file hold at StrokesAt.
//
// Not modelled: a pressure from behind, which lifts a real diaphragm; a leak of the pilot; the moment in which a disc
// follows a flow that changes. The balance at the seat is one of forces in its simplest form; its figures are common
// practice, no source.
type pilot struct {
	spec     sitefile.Operation
	seatsAt  float64 // knob: Pa that it needs at the least to seat
	reversed float64 // knob: it is fitted the wrong way round: above 0

	flow, before       *device.Line // through the valve, and the pressure before it
	differential, disc *device.Line // the disc is where the water lets it be
	link               water.Link
	from, to           water.Node
	height             float64 // m above the datum, of the outlet of the valve

	lifted bool        // the water is to lift the disc
	due    bool        // that has changed, and how the disc moves is still to be found
	stays  bool        // let go, it lacks the differential to move on
	falls  signal.Time // when one that stays falls again, the room having filled; Never while it need not
	turned signal.Time // when the room has filled or emptied of a valve that was turned round; Never
	stands float64     // Pa across the valve if it were shut, as it was when the disc began to move
	has    float64     // Pa, that the solver has to lift it
	stroke float64     // by how much a stroke takes longer than at StrokesAt
}

const (
	// of a differential, by which it must change before a disc that stays falls on (common practice, no source)
	sticking      = 0.1
	discTolerance = 0.02 // of the stroke, by which the disc may miss within a step
	nothing       = 1.0  // Pa, below which a differential counts as none
	slowest       = 10   // by how much a stroke takes longer at the most (common practice, no source)
	// Pa, that lifts the diaphragm of a valve fitted backwards against its spring alone (common practice, no source)
	crack = 0.1e5
)

// openPilot declares the pilot of a valve, by the flow through the valve and the pressure before it, and offers its
// knobs.
func openPilot(v *Valve, flow, pressure *device.Line) *pilot {
	s, spec := v.step, v.spec
	p := &pilot{spec: spec.Operation, has: spec.OpensAt.SI, flow: flow, before: pressure, falls: signal.Never, turned: signal.Never, stroke: 1,
		link: v.link, from: s.plan.Nodes[spec.From], to: s.plan.Nodes[spec.Name], height: s.plan.Heights[spec.Name]}
	p.disc = &v.line
	p.disc.Reach, p.disc.Tolerance = 1, discTolerance
	p.disc.Read = func() float64 { return v.rides(v.position) }
	s.lines = append(s.lines, p.disc)
	p.differential = s.pressureLine(signal.Valve(spec.Name).Differential(), func() float64 { return p.across(s) })
	offer := s.Knobs(spec.Name, "valve", s.turns)
	offer(fault.Knob{Name: "seats at", Dim: quantity.Pressure, Max: 1e7, Join: fault.Largest}, &p.seatsAt)
	offer = s.Knobs(spec.Name, "valve", func(at signal.Time) {
		p.turned = at + signal.FromSeconds(spec.PilotStroke.SI)
		s.turn = true
	})
	offer(fault.Knob{Name: "backwards", Dim: quantity.State, Max: 1, Join: fault.Largest}, &p.reversed)
	return p
}

// across is the differential of the last solve, Pa. Behind a valve that nothing passes stands what is left there, and
// no pressure is below that of the air.
func (p *pilot) across(s *Step) float64 {
	before, behind := s.solver.Standing(p.from), s.solver.Standing(p.to)
	if behind < p.height && withoutRounding(s.solver.Flow(p.link)) == 0 {
		behind = p.height
	}
	return float64((before - behind) * pipework.PerMetre)
}

// needs is the differential that lifts the disc. Fitted the wrong way round, the room over the diaphragm is fed from
// behind, where there is no pressure: the water lifts the diaphragm against the spring, whatever the coil does, and
// nothing but a lack of pressure lets it down.
func (p *pilot) needs() float64 {
	if p.reversed > 0 {
		return crack
	}
	return p.spec.OpensAt.SI
}

// setLift gives the solver the differential that lifts the disc.
func (p *pilot) setLift(s *Step) {
	if needs := p.needs(); needs != p.has {
		p.has = needs
		s.solver.SetLift(p.link, pipework.Head(needs))
	}
}

// order passes on to the pilot what its coil does, and reports whether that has changed.
func (p *pilot) order(energised bool) (changed bool) {
	lifted := energised || p.reversed > 0
	changed = lifted != p.lifted
	p.lifted, p.due = lifted, p.due || changed
	return changed
}

// lets is what the water makes of the share of the stroke that the actuator wants.
func (p *pilot) lets(wanted, disc float64) float64 {
	switch {
	case p.due || p.stays:
		return disc
	case p.reversed > 0:
		return 1
	case p.lifted:
		return wanted
	}
	return 0
}

// seats is the differential that presses the diaphragm onto its seat.
func (p *pilot) seats() float64 { return math.Max(p.spec.SeatsAt.SI, p.seatsAt) }

// enough reports whether a disc that is let go, where it is at a share of the present step, has the differential to
// fall, more of it by a share.
func (p *pilot) enough(disc, share, more float64) bool {
	differential := p.differential.At(share)
	if differential <= nothing && p.flow.At(share) == 0 {
		return true
	}
	fourth := (1 - disc) * (1 - disc) * (1 - disc) * (1 - disc)
	return differential+nothing >= p.seats()*fourth*fourth*fourth*(1+more)
}

// decide finds how the disc moves after its coil has changed, and whether one goes on falling that lacks the
// differential where it is: the narrower what is left open, the more of what stands before the valve is over it.
func (v *Valve) decide(at signal.Time) error {
	p := v.pilot
	if p == nil || !p.due && (p.lifted || !v.moving() || p.enough(v.At(at), 0, 0)) {
		return nil
	}
	stands, err := v.standing(at)
	if err != nil {
		return err
	}
	if p.due {
		p.stroke = 1
		if stands > nothing {
			p.stroke = math.Min(slowest, math.Sqrt(p.spec.StrokesAt.SI/stands))
		}
	}
	p.due, p.stands, p.falls = false, stands, signal.Never
	p.stays = !p.lifted && stands < p.seats() && !p.enough(v.At(at), 0, 0)
	v.Aim(at)
	return nil
}

// standing finds the differential that would stand across the valve if it were shut at a moment, Pa.
func (v *Valve) standing(at signal.Time) (float64, error) {
	s := v.step
	s.arrange(at)
	s.hold(0)
	v.least, v.kv = 0, 0
	s.solver.SetOpening(v.link, 0, 0)
	err := s.solve(at)
	return v.pilot.across(s), err
}

// settled has a disc that stays fall again, a pilot stroke after the differential for it has come.
func (p *pilot) settled(disc float64, at signal.Time) {
	switch {
	case !p.stays || !p.enough(disc, 0, sticking):
		p.falls = signal.Never
	case p.falls == signal.Never:
		p.falls = at + signal.FromSeconds(p.spec.PilotStroke.SI)
	}
}

// bound shortens the step to the first moment at which the differential makes a disc that falls stay, or one that stays
// fall.
func (p *pilot) bound(s *Step, v *Valve) {
	var other func(t signal.Time) bool
	end := s.t1
	switch {
	case p.stays && p.falls == signal.Never:
		other = func(t signal.Time) bool { return p.enough(v.disc, s.Share(t), sticking) }
	case !p.lifted && v.moving() && p.enough(v.At(s.t0), 0, 0):
		other = func(t signal.Time) bool { return !p.enough(v.At(t), s.Share(t), 0) }
		if v.At(end) == 0 && end > s.t0+1 {
			end-- // it must get to its seat before it is there
		}
	default:
		return
	}
	if other(end) {
		s.shorten(device.FirstPast(s.t0, end, s.t0, other))
	}
}

// rides is where the disc is while its stroke has come to a position: no higher than where the flow of the last solve
// takes the differential that it needs.
func (v *Valve) rides(stroke float64) float64 {
	p := v.pilot
	if !p.lifted {
		return stroke
	}
	passes := v.step.solver.Flow(v.link) * 3600 / math.Sqrt(p.needs()/1e5)
	switch {
	case passes >= v.kv:
		return stroke
	case passes <= v.least:
		return v.gap(stroke)
	}
	return math.Min(stroke, v.characteristic.stroke(passes/v.spec.Capacity.SI))
}

// isOpen reports whether the disc is off its seat as a step begins, or leaving it.
func (v *Valve) isOpen() bool {
	p := v.pilot
	return p.disc.Start > 0 || v.moving() && (!p.lifted || p.stands >= p.needs())
}
