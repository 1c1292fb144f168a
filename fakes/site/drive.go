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

	heldOpen float64 // knob: the disc cannot come below this once it has been lifted that far
	heldShut float64 // knob: the disc cannot rise above this

	disc    float64     // share of the stroke at `since`
	since   signal.Time // beginning of the present movement
	target  float64
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
	stroke := d.spec.Opens.SI
	if d.target < d.disc {
		stroke = -d.spec.Closes.SI
	}
	return d.disc + float64((t-d.since).Seconds()/stroke)
}

// aim works out where the disc goes from where it is at a moment, and tells whether it begins, ends or turns a movement.
func (d *drive) aim(t signal.Time) bool {
	disc := d.at(t)
	target := 0.0
	if wanted := d.wants(disc); wanted > 0 {
		target = math.Max(math.Min(wanted, d.heldShut), math.Min(disc, wanted))
	}
	if disc >= d.heldOpen {
		target = math.Max(target, d.heldOpen)
	}
	if target == d.target && d.arrives != signal.Never || target == disc && d.arrives == signal.Never {
		return false
	}
	d.disc, d.since, d.target, d.arrives = disc, t, target, signal.Never
	stroke := d.spec.Opens.SI
	if target < disc {
		stroke = d.spec.Closes.SI
	}
	if target != disc {
		d.arrives = t + max(1, signal.FromSeconds(math.Abs(target-disc)*stroke))
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

// kv is the flow coefficient at a moment, m³/h. A disc that moves is never quite on its seat: water that stands behind a
// valve takes the pressure before it with the first gap and loses it with the last.
func (d *drive) kv(t signal.Time) float64 {
	disc := d.at(t)
	if d.moving() {
		stroke := d.spec.Opens.SI
		if d.target < d.disc {
			stroke = d.spec.Closes.SI
		}
		disc = math.Max(disc, math.Min(lifted/stroke, 1))
	}
	return d.spec.Capacity.SI * passable(d.capacity(disc))
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
		flow := s.through(d.link)
		s.flow(spec.Name, "flow", flow)
		s.pressure(spec.Name, s.plan.Nodes[spec.From], flow)
		s.put(0, d.openID, 0)
		d.curve.to(0, 0)
		aim := func() { s.aim(d, s.now) }
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "valve", Name: "held open", Dim: quantity.Fraction, Max: 1, Join: fault.Largest}, &d.heldOpen, aim)
		s.offer(panel, fault.Knob{Device: spec.Name, Kind: "valve", Name: "held shut", Dim: quantity.Fraction, Max: 1, Rest: 1, Join: fault.Smallest}, &d.heldShut, aim)
		s.offerCoil(panel, d)
	}
}

// aim lets a disc go where coil and knobs send it.
func (s *Site) aim(d *drive, at signal.Time) {
	if d.aim(at) {
		d.curve.to(at, d.disc)
		s.turn = true
		s.jump = s.jump || d.disc == 0
		s.put(at, d.openID, state(d.open()))
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
