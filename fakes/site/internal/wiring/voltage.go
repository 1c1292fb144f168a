package wiring

import (
	"ullage/fakes/internal/electric"
	"ullage/harness/signal"
)

// How the voltage of the supply is cut into straight pieces.
const (
	voltTolerance = 0.010 // V, by which a straight piece may miss the voltage of a capacitor
	stillVolts    = 0.001 // V, within which a capacitor counts as charged
	usedAtOnce    = 0.01  // share of what a battery has left that is used in one straight piece
	longestPiece  = 3600  // s
)

// straight is a piece of the course of the voltage at the controller, which is taken to run straight.
type straight struct {
	course electric.FirstOrder
	since  signal.Time
	ends   signal.Time // Never when it does not
}

// volts is the voltage at the controller at a moment of the present piece, V.
func (p *straight) volts(at signal.Time) float64 { return p.course.At((at - p.since).Seconds()) }

// line is the voltage at the controller at a moment of the present straight piece, V, and how fast it rises, V/s.
func (p *straight) line(at signal.Time) (volts, slope float64) {
	if p.ends != signal.Never {
		slope = (p.course.At((p.ends - p.since).Seconds()) - p.course.X0) / (p.ends - p.since).Seconds()
	}
	return p.volts(at), slope
}
