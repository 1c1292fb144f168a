package hydraulics

import (
	"math"

	"ullage/fakes/site/internal/device"
	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// An Actuator is what moves the disc of a valve, or has its pilot move it: a coil, a motor, somebody's hand.
type Actuator interface {
	// Wants is the share of the stroke that it sends the disc to from where the disc is.
	Wants(disc float64) float64
}

// Valve is a valve: its actuator sends the disc up or down, each in its stroke time.
type Valve struct {
	step     *Step
	spec     sitefile.Valve
	actuator Actuator
	link     water.Link
	pilot    *pilot // nil when coil and spring move the disc
	hammer   *hammer

	characteristic characteristic

	heldOpen float64 // knob: the disc cannot come below this once it has been lifted that far
	heldShut float64 // knob: the disc cannot rise above this
	weep     float64 // knob: share of the Kv that passes the seat
	closing  float64 // knob: the closing stroke takes so many times as long
	debris   debris  // on the seat

	disc     float64     // share of the stroke at `since`
	since    signal.Time // beginning of the present movement
	target   float64
	stroke   float64     // s for a whole stroke in the present movement, below 0 while it closes
	arrives  signal.Time // at the target; Never when it stands
	kv       float64     // m³/h, that the solver has
	least    float64     // m³/h, likewise, to which a disc that rides closes
	position float64     // of the stroke, at the moment of the last solve

	openID   signal.ID
	line     device.Line  // of the disc; where it rides, as the network gives it
	pressure *device.Line // before it
}

// openValve declares a valve with its actuator and offers its knobs.
func openValve(s *Step, spec sitefile.Valve, actuator Actuator) *Valve {
	name := signal.Valve(spec.Name)
	v := &Valve{step: s, spec: spec, actuator: actuator, link: s.plan.Links[spec.Name],
		characteristic: characteristicOf(spec.Characteristic),
		arrives:        signal.Never, openID: s.Declare(name.Open()), line: s.Line(name.Disc())}
	read := s.Through(v.link)
	flow := s.Flow(name.Flow(), read)
	pressure := s.pressure(name.Pressure(), s.plan.Nodes[spec.From], read)
	s.Put(0, v.openID, 0)
	v.line.To(0, 0)
	if spec.Operates == sitefile.Pilot {
		v.pilot = openPilot(v, flow, pressure)
	}
	v.pressure = pressure
	v.hammer = openHammer(s, v)
	s.Add(v)
	s.Knobs(spec.Name, "valve", s.jumps)(fault.Knob{Name: "weep", Dim: quantity.Fraction, Max: 1, Join: fault.Largest},
		&v.weep)
	offer := s.Knobs(spec.Name, "valve", v.Aim)
	offer(fault.Knob{Name: "closing factor", Min: 0.01, Max: 100, Rest: 1, Join: fault.Multiply}, &v.closing)
	offer(fault.Knob{Name: "held open", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, &v.heldOpen)
	offer(fault.Knob{Name: "held shut", Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Smallest}, &v.heldShut)
	offer = s.Knobs(spec.Name, "valve", func(at signal.Time) {
		v.debris.flushed = 0
		v.Aim(at)
	})
	offer(fault.Knob{Name: "debris", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, &v.debris.opening)
	offer(fault.Knob{Name: "debris strokes", Dim: quantity.Count, Max: 1000, Join: fault.Largest}, &v.debris.strokes)
	return v
}

// At is the position of the disc at a moment of the present movement; of a disc that rides, the highest that it may have.
func (v *Valve) At(t signal.Time) float64 {
	if v.arrives == signal.Never {
		return v.disc
	}
	if t >= v.arrives {
		return v.target
	}
	return v.disc + float64((t-v.since).Seconds()/v.stroke)
}

// stands is where the disc is at a moment of the present step, also where it rides.
func (v *Valve) stands(at signal.Time) float64 {
	if v.pilot != nil {
		return v.line.At(v.step.Share(at))
	}
	return v.At(at)
}

// Aim lets the disc go where actuator, water and knobs send it.
func (v *Valve) Aim(at signal.Time) {
	s := v.step
	if p := v.pilot; p != nil && p.order(v.actuator.Wants(v.At(at)) > 0) {
		v.disc, v.since, v.arrives = v.line.At(s.Share(at)), at, signal.Never
		v.target, s.turn = v.disc, true
	}
	if v.turns(at) {
		s.turn = true
		if v.disc == 0 {
			s.jump, s.calm = true, true
		}
		if v.pilot == nil {
			v.line.To(at, v.disc)
			s.PutState(at, v.openID, v.open())
		}
		v.hammer.moves(at)
	}
}

// turns works out where the disc goes from where it is at a moment, and reports whether it begins, ends or turns a
// movement.
func (v *Valve) turns(t signal.Time) bool {
	disc := v.At(t)
	wanted := v.actuator.Wants(disc)
	if v.pilot != nil {
		wanted = v.pilot.lets(wanted, disc)
	}
	target := 0.0
	if wanted > 0 {
		target = math.Max(math.Min(wanted, v.heldShut), math.Min(disc, wanted))
	}
	target = math.Max(target, v.gap(disc))
	stroke := v.spec.Opens.SI
	if target < disc {
		stroke = -v.spec.Closes.SI * v.closing
	}
	if v.pilot != nil {
		stroke *= v.pilot.stroke
	}
	if target == v.target && stroke == v.stroke && v.moving() || target == disc && !v.moving() {
		return false
	}
	v.debris.lift(disc, target)
	v.disc, v.since, v.target, v.stroke, v.arrives = disc, t, target, stroke, signal.Never
	if target != disc {
		v.arrives = t + max(1, signal.FromSeconds((target-disc)*stroke))
	}
	return true
}

// gap is the share of the stroke below which a disc that has come to a position cannot fall.
func (v *Valve) gap(disc float64) float64 {
	if held := math.Max(v.heldOpen, v.debris.holds()); disc >= held {
		return held
	}
	return 0
}

// moving reports whether the disc is on its way, open whether it is off its seat or leaving it.
func (v *Valve) moving() bool { return v.arrives != signal.Never }
func (v *Valve) open() bool   { return v.disc > 0 || v.target > 0 }

// closes reports whether the disc is on its way down.
func (v *Valve) closes() bool { return v.moving() && v.target < v.disc }

// firstGap is the time of its stroke that a moving disc is ahead of its seat at least, s. Discs that lift together open
// in the proportion in which they go on.
const firstGap = 1e-5

// set gives the solver the flow coefficient at a moment. A disc that moves is never quite on its seat: water that
// stands behind a valve takes the pressure before it with the first gap and loses it with the last.
func (v *Valve) set(at signal.Time) {
	v.position = v.At(at)
	disc := v.position
	if v.moving() {
		disc = math.Max(disc, math.Min(firstGap/math.Abs(v.stroke), 1))
	}
	kv := v.kvAt(disc)
	if v.pilot == nil {
		if kv != v.kv {
			v.kv = kv
			v.step.solver.SetKv(v.link, kv)
		}
		return
	}
	least := kv
	if v.pilot.lifted {
		least = v.kvAt(v.gap(disc))
	}
	if kv != v.kv || least != v.least {
		v.kv, v.least = kv, least
		v.step.solver.SetOpening(v.link, least, kv)
	}
	v.pilot.setLift(v.step)
}

// kvAt is the flow coefficient with the disc at a share of its stroke, m³/h: what the disc leaves open, and at the
// least what passes the seat.
func (v *Valve) kvAt(disc float64) float64 {
	return v.spec.Capacity.SI * passable(math.Max(v.characteristic.capacity(disc), v.weep))
}

func (v *Valve) still() bool { return !v.moving() }

// ends is when the disc arrives, or its pilot turns it round.
func (v *Valve) ends() signal.Time {
	if v.pilot != nil {
		return min(v.arrives, v.pilot.falls, v.pilot.turned)
	}
	return v.arrives
}

// change lets a disc move whose pilot has done its stroke: one that stays falls again.
func (v *Valve) change(at signal.Time) (jump bool) {
	if p := v.pilot; p != nil && min(p.falls, p.turned) <= at {
		p.stays, p.falls, p.turned = p.stays && p.falls > at, signal.Never, signal.Never
		v.Aim(at)
	}
	return false
}

// settled has the pilot look at the differential, and records the disc and the surge of a stroke that has just ended.
func (v *Valve) settled(at signal.Time) (moving bool) {
	if p := v.pilot; p != nil {
		p.settled(v.At(at), at)
		v.step.PutState(at, v.openID, v.isOpen())
	}
	if v.hammer.pipes != nil {
		v.hammer.pipes.settle(at)
	}
	return v.moving()
}

// bound ends the step where the differential asks the disc to go another way.
func (v *Valve) bound(signal.Time) {
	if v.pilot != nil {
		v.pilot.bound(v.step, v)
	}
}

// cut records the disc, and ends a movement whose target has been reached.
func (v *Valve) cut(at signal.Time) {
	if !v.moving() {
		return
	}
	if v.pilot == nil {
		v.line.To(at, v.At(at))
	}
	if v.arrives <= at {
		v.disc, v.since, v.arrives = v.target, at, signal.Never
		if v.disc == 0 {
			v.step.jump, v.step.calm = true, true
		}
		v.hammer.arrives(at)
	}
	if v.pilot == nil {
		v.step.PutState(at, v.openID, v.open())
	}
}

func (v *Valve) anchor() {
	if v.pilot == nil && v.moving() {
		v.line.Anchor()
	}
}
