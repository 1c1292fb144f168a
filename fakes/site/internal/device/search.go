package device

import (
	"math"

	"ullage/harness/signal"
)

// FirstPast finds the first moment in (from, to], to the nanosecond, at which past is true, given that it is false at
// from, true at to, and turns true once: bisection, rounded to the side that is past. It begins around a guess.
func FirstPast(from, to, guess signal.Time, past func(signal.Time) bool) signal.Time {
	const around = 2 // ns, by which a good guess may be out
	if guess > from+around && guess < to-around {
		switch early, late := past(guess-around), past(guess+around); {
		case early:
			to = guess - around
		case late:
			from, to = guess-around, guess+around
		default:
			from = guess + around
		}
	}
	for to-from > 1 {
		if middle := from + (to-from)/2; past(middle) {
			to = middle
		} else {
			from = middle
		}
	}
	return to
}

// Reaches guesses after how many seconds the integral of a flow that runs straight from q0 to q1 in dt seconds is
// amount: the smaller positive root of the parabola, without cancellation.
func Reaches(amount, q0, q1, dt float64) float64 {
	bend := (q1 - q0) / dt
	root := math.Sqrt(math.Max(0, float64(q0*q0)+float64(2*bend*amount)))
	if amount < 0 {
		root = -root
	}
	return 2 * amount / (q0 + root)
}

// Vertex is the share of a step at which the integral of a flow that runs straight from q0 to q1 turns round; no number
// when it does not.
func Vertex(q0, q1 float64) float64 {
	if q0 == 0 || (q0 > 0) == (q1 > 0) || q0 == q1 {
		return math.NaN()
	}
	return q0 / (q0 - q1)
}
