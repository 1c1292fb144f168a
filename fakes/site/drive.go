package site

import (
	"math"

	"ullage/fakes/electric"
	"ullage/fakes/numeric"
	"ullage/fakes/water"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// drive is a spring-return valve: its coil lifts the disc, its spring shuts it, each in its stroke time.
type drive struct {
	spec     sitefile.Valve
	link     water.Link
	capacity func(stroke float64) float64 // share of the full Kv
	coil     electric.Coil

	heldOpen float64 // knob: the disc cannot come below this once it has been lifted that far
	heldShut float64 // knob: the disc cannot rise above this

	disc    float64     // share of the stroke at `since`
	since   signal.Time // beginning of the present movement
	target  float64
	arrives signal.Time // at the target; Never when it stands

	coilID, openID signal.ID
	curve          curve // of the disc
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
	if d.coil.Energised {
		target = math.Max(math.Min(1, d.heldShut), math.Min(disc, 1))
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

// moving tells whether the disc is on its way.
func (d *drive) moving() bool { return d.arrives != signal.Never }

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
	return d.spec.Capacity.SI * d.capacity(disc)
}

// lifted is the time of its stroke that a moving disc is ahead of its seat at least, s. Discs that lift together open in
// the proportion in which they go on.
const lifted = 1e-5

// rangeability of an equal-percentage valve: ratio of its largest to its smallest controllable capacity (50 is usual for
// control valves; from memory of IEC 60534-2-4).
const rangeability = 50

// throttling is the exponent of the diaphragm's characteristic 1-(1-x)^n: five sixths of the capacity at 40 % of the
// stroke, as a diaphragm throttles only near its seat (common practice, no source).
const throttling = 3.5

// characteristic is the share of the capacity at a share of the stroke.
func characteristic(c sitefile.Characteristic) func(float64) float64 {
	switch c {
	case sitefile.QuickOpening:
		return math.Sqrt
	case sitefile.EqualPercentage:
		log := numeric.Log(rangeability)
		return func(x float64) float64 { return (numeric.Exp(log*x) - 1) / (rangeability - 1) }
	case sitefile.Diaphragm:
		power := numeric.NewPower(throttling)
		return func(x float64) float64 {
			if x >= 1 {
				return 1
			}
			return 1 - power.Of(1-x)
		}
	}
	return func(x float64) float64 { return x }
}
