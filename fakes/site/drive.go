package site

import (
	"math"

	"ullage/fakes/water"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// drive is a valve: its actuator sends the disc up or down, each in its stroke time.
type drive struct {
	actuator
	spec     sitefile.Valve
	link     water.Link
	capacity func(stroke float64) float64 // share of the full Kv
	pilot    *pilot                       // nil when coil and spring move the disc
	hammer   *hammer                      // nil when no pipe before it has a wall

	heldOpen float64 // knob: the disc cannot come below this once it has been lifted that far
	heldShut float64 // knob: the disc cannot rise above this
	weep     float64 // knob: share of the Kv that passes the seat
	closing  float64 // knob: the closing stroke takes so many times as long
	debris   debris  // on the seat

	disc    float64     // share of the stroke at `since`
	since   signal.Time // beginning of the present movement
	target  float64
	stroke  float64     // s for a whole stroke in the present movement, below 0 while it closes
	arrives signal.Time // at the target; Never when it stands
	set     float64     // m³/h, Kv that the solver has

	openID signal.ID
	curve  curve // of the disc
}

// at is the position of the disc at a moment of the present movement.
func (d *drive) at(t signal.Time) float64 {
	if d.arrives == signal.Never {
		return d.disc
	}
	if t >= d.arrives {
		return d.target
	}
	return d.disc + float64((t-d.since).Seconds()/d.stroke)
}

// aim works out where the disc goes from where it is at a moment, and tells whether it begins, ends or turns a movement.
func (d *drive) aim(t signal.Time) bool {
	disc := d.at(t)
	wanted := d.wants(disc)
	if d.pilot != nil {
		wanted = d.pilot.lets(wanted, disc)
	}
	target := 0.0
	if wanted > 0 {
		target = math.Max(math.Min(wanted, d.heldShut), math.Min(disc, wanted))
	}
	if held := math.Max(d.heldOpen, d.debris.holds()); disc >= held {
		target = math.Max(target, held)
	}
	stroke := d.spec.Opens.SI
	if target < disc {
		stroke = -d.spec.Closes.SI * d.closing
	}
	if target == d.target && stroke == d.stroke && d.arrives != signal.Never || target == disc && d.arrives == signal.Never {
		return false
	}
	d.debris.lift(disc, target)
	d.disc, d.since, d.target, d.stroke, d.arrives = disc, t, target, stroke, signal.Never
	if target != disc {
		d.arrives = t + max(1, signal.FromSeconds((target-disc)*stroke))
	}
	return true
}

// rest ends a movement whose target has been reached and tells whether the disc has come to its seat.
func (d *drive) rest(t signal.Time) (seated bool) {
	if d.arrives > t {
		return false
	}
	d.disc, d.since, d.arrives = d.target, t, signal.Never
	return d.disc == 0
}

// moving tells whether the disc is on its way, open whether it is off its seat or leaving it.
func (d *drive) moving() bool { return d.arrives != signal.Never }
func (d *drive) open() bool   { return d.disc > 0 || d.target > 0 }

// closes tells whether the disc is on its way down.
func (d *drive) closes() bool { return d.moving() && d.target < d.disc }

// kv is the flow coefficient at a moment, m³/h. A disc that moves is never quite on its seat: water that stands behind a
// valve takes the pressure before it with the first gap and loses it with the last.
func (d *drive) kv(t signal.Time) float64 {
	disc := d.at(t)
	if d.moving() {
		disc = math.Max(disc, math.Min(lifted/math.Abs(d.stroke), 1))
	}
	return d.lets(disc)
}

// lets is the flow coefficient with the disc at a share of its stroke, m³/h: what the disc leaves open, and at the least
// what passes the seat.
func (d *drive) lets(disc float64) float64 {
	return d.spec.Capacity.SI * passable(math.Max(d.capacity(disc), d.weep))
}

// passable is the share of an opening that is open; less than a part in 1e12 is shut, as no network can be solved with it.
func passable(share float64) float64 {
	if share < 1e-12 {
		return 0
	}
	return share
}

// lifted is the time of its stroke that a moving disc is ahead of its seat at least, s. Discs that lift together open in
// the proportion in which they go on.
const lifted = 1e-5

func (s *Site) openValves(panel *fault.Panel) {
	for _, spec := range s.spec.Valves {
		d := &drive{spec: spec, link: s.plan.Links[spec.Name], capacity: characteristic(spec.Characteristic), arrives: signal.Never}
		s.hangCoil(d)
		d.openID = s.held(spec.Name, "open")
		d.curve = newCurve(s.record, spec.Name, "disc", quantity.Fraction)
		s.drives = append(s.drives, d)
		read := s.through(d.link)
		flow := s.flow(spec.Name, "flow", read)
		pressure := s.pressure(spec.Name, s.plan.Nodes[spec.From], read)
		s.put(0, d.openID, 0)
		d.curve.to(0, 0)
		s.openPilot(d, flow, pressure, panel)
		s.openHammer(d, flow, pressure)
		s.openSeat(d, panel)
		aim := func() { s.aim(d, s.now) }
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "valve", Name: "held open", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, &d.heldOpen, aim)
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "valve", Name: "held shut", Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Smallest}, &d.heldShut, aim)
		s.offerCoil(panel, d)
		s.offerDebris(d, panel)
		s.offerByHand(d, panel)
		s.offerOutput(d, panel)
	}
	s.linkPilots()
}

// openSeat offers the knobs of a valve's seat and stroke.
func (s *Site) openSeat(d *drive, panel *fault.Panel) {
	s.offer(panel, fault.Knob{Device: d.spec.Name, Kind: "valve", Name: "weep", Dim: quantity.Fraction, Max: 1, Join: fault.Largest},
		&d.weep, func() { s.jump = true })
	s.offer(panel, fault.Knob{Device: d.spec.Name, Kind: "valve", Name: "closing factor", Min: 0.01, Max: 100, Rest: 1, Join: fault.Multiply},
		&d.closing, func() { s.aim(d, s.now) })
}

// aim lets a disc go where coil, water and knobs send it.
func (s *Site) aim(d *drive, at signal.Time) {
	if d.pilot != nil {
		disc := d.at(at)
		d.pilot.order(d.wants(disc) > 0, disc, s.share(at))
	}
	if d.aim(at) {
		d.curve.to(at, d.disc)
		s.turn = true
		s.jump = s.jump || d.disc == 0
		s.put(at, d.openID, state(d.open()))
		if d.hammer != nil {
			d.hammer.strokes(d, s.share(at))
		}
	}
}

// moving tells whether a disc is on its way.
func (s *Site) moving() bool {
	for _, d := range s.drives {
		if d.moving() {
			return true
		}
	}
	return false
}

// position sets the valves that have moved as their discs stand at a moment.
func (s *Site) position(at signal.Time) {
	for _, d := range s.drives {
		if kv := d.kv(at); kv != d.set {
			d.set = kv
			s.solver.SetKv(d.link, kv)
		}
	}
}
