package hydraulics

import (
	"ullage/fakes/site/internal/device"
	"ullage/harness/signal"
)

// A Drain loses water that has left the network.
type Drain interface {
	// Lost is what it has lost until now, m³; Losing reports whether it loses more in its present step.
	Lost() float64
	Losing() bool
}

// losses are all the water that does no good any more: over tanks, out of holes, off beds and below their roots.
type losses struct {
	line   device.Line
	totals []*device.Total
	drains []Drain
}

// record records what has been lost until a moment, which is a share of the present step of dt seconds.
func (x *losses) record(at signal.Time, share, dt float64) {
	lost := 0.0
	for _, t := range x.totals {
		lost += t.At(share, dt)
	}
	for _, d := range x.drains {
		lost += d.Lost()
	}
	x.line.To(at, lost)
}

// more reports whether more is lost in the present step.
func (x *losses) more() bool {
	for _, t := range x.totals {
		if t.Flow.Runs() {
			return true
		}
	}
	for _, d := range x.drains {
		if d.Losing() {
			return true
		}
	}
	return false
}
