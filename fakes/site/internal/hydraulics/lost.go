package hydraulics

import (
	"ullage/fakes/site/internal/device"
	"ullage/harness/signal"
)

// losses are all the water that does no good any more: over tanks, out of holes, off beds and below their roots.
type losses struct {
	line   device.Line
	totals []*device.Total
	drains []Drain
}

// A Drain loses water that has left the network.
type Drain interface {
	// Lost is what it has lost until now, m³; Losing tells whether it loses more in its present step.
	Lost() float64
	Losing() bool
}

// OpenLosses declares what the site has lost, with what drains lose besides the network.
func (s *Step) OpenLosses(drains []Drain) {
	s.losses.drains = drains
	s.losses.line = s.Line(signal.Site.Lost())
	s.losses.line.To(0, 0)
}

// RecordLost records what has been lost until a moment of the present step.
func (s *Step) RecordLost(at signal.Time) {
	lost, share := 0.0, s.Share(at)
	for _, x := range s.losses.totals {
		lost += x.At(share, s.dt)
	}
	for _, d := range s.losses.drains {
		lost += d.Lost()
	}
	s.losses.line.To(at, lost)
}

// AnchorLost records it, and marks that it begins to change.
func (s *Step) AnchorLost(at signal.Time) {
	s.RecordLost(at)
	s.losses.line.Anchor()
}

// losing tells whether water is being lost in the present step.
func (s *Step) losing() bool {
	for _, x := range s.losses.totals {
		if x.Flow.Runs() {
			return true
		}
	}
	for _, d := range s.losses.drains {
		if d.Losing() {
			return true
		}
	}
	return false
}
