package contact

import (
	"math"

	"ullage/harness/numeric"
)

// gravity is the standard acceleration of free fall, m/s², as in fakes/water, which this package may not import; a test
// of fakes/site holds them together.
const gravity = 9.80665

// BoxWave is the wave number of the lowest sloshing mode of the water in a box of a length, rad/m: half a wave fits in.
func BoxWave(length float64) float64 { return math.Pi / length }

// CylinderWave is the wave number of the lowest sideways sloshing mode of the water in an upright cylinder, rad/m: the
// first zero of the derivative of the Bessel function J1, over the radius.
func CylinderWave(radius float64) float64 { return 1.8412 / radius }

// Swing is the angular frequency of a standing wave on water of a depth, rad/s: omega² = g k tanh(k h) (linear wave
// theory; from memory). Merian's shallow-water formula is its limit for a depth far below the length.
func Swing(wave, depth float64) float64 {
	return math.Sqrt(gravity * wave * numeric.Tanh(wave*depth))
}

// Crest is how high a jet that falls into a tank lifts the lowest sloshing mode, m above the mean level: the share
// `stirring` of the jet's power goes into the wave and the damping takes as much out of it. A standing wave of
// amplitude a holds rho g a²/4 for each square metre (linear wave theory) and loses 2 zeta omega of it a second. Flow
// in m³/s, speed of the jet where it meets the water in m/s, omega in rad/s, damping as a share of the critical one,
// area in m².
func Crest(flow, speed, omega, damping, area float64) float64 {
	if !(flow > 0 && omega > 0 && damping > 0) {
		return 0
	}
	power := 0.5 * flow * speed * speed // over rho, as is the energy below
	return math.Sqrt(4 * stirring * power / (2 * damping * omega * gravity * area))
}

// stirring is the share of a jet's power that goes into the sloshing; the rest ends in eddies and bubbles. With it a
// garden tap into a half-full tank of a square metre makes waves of a centimetre (an estimate; common practice, no
// source).
const stirring = 0.01
