package probe

import "math"

// Limits are the currents by which a transmitter reports whether its reading is valid.
type Limits struct {
	FailureLow, Least, Most, FailureHigh float64 // A
}

// NE43 are the limits of the NAMUR recommendation NE 43 for 4-20 mA (verified in three secondary sources; they differ
// on whether 3.6 to 3.8 mA counts as under-range; no reading falls there, see Saturates).
var NE43 = Limits{FailureLow: 3.6e-3, Least: 3.8e-3, Most: 20.5e-3, FailureHigh: 21e-3}

// Saturates is the current of a transmitter whose reading would ask for another: it stays at the ends of its measuring
// range, A.
func (l Limits) Saturates(current float64) float64 {
	return math.Max(l.Least, math.Min(l.Most, current))
}

// Drives is the current that a supply can drive through a loop of so many ohms at the most, A, when the transmitter
// asks for one: what is left of the supply's volts beyond those that the transmitter needs for itself, over the ohms.
func Drives(current, volts, needs, ohms float64) float64 {
	left := math.Max(0, volts-needs)
	if left >= current*ohms {
		return current
	}
	return left / ohms
}
