package site

import (
	"math"

	"ullage/harness"
	"ullage/harness/signal"
)

// How the voltage of the supply is cut into straight pieces.
const (
	voltTolerance = 0.010 // V, by which a straight piece may miss the voltage of a capacitor
	stillVolts    = 0.001 // V, within which a capacitor counts as charged
	usedAtOnce    = 0.01  // share of what a battery has left that is used in one straight piece
	longestPiece  = 3600  // s
)

// piece finds how long the voltage runs straight from a moment, and how it runs.
func (s *Site) piece(at signal.Time, volts float64) {
	p := &s.supplied
	p.since, p.ends = at, signal.Never
	curved := p.course.A != 0 || p.course.B != 0
	switch {
	case curved:
		seconds := p.course.Straight(voltTolerance)
		s.eachLevel(func(level float64) {
			if t := p.course.Reaches(level); t > 0 {
				seconds = math.Min(seconds, t)
			}
		})
		if !math.IsInf(seconds, 1) {
			p.ends = at + max(1, signal.FromSeconds(seconds))
		}
	case p.battery != nil && p.amps > 0:
		seconds := math.Min(longestPiece, math.Max(1, usedAtOnce*p.share(p.drawn)*p.battery.Capacity/p.amps))
		if p.share(p.drawn) == p.share(p.drawn+float64(p.amps*longestPiece)) { // flat, or held so by its knob
			seconds = longestPiece
		}
		after := p.sourceAfter(s, p.drawn+float64(p.amps*seconds)).Loaded(p.load)
		p.course.A = (after - volts) / seconds
		s.eachLevel(func(level float64) {
			if t := p.course.Reaches(level); t > 0 {
				seconds = math.Min(seconds, t)
			}
		})
		p.ends = at + max(1, signal.FromSeconds(seconds))
	}
}

// eachLevel visits every voltage at the controller at which something happens: its own reset, the source behind the
// rectifier, no voltage, and the coils'.
func (s *Site) eachLevel(visit func(level float64)) {
	p := &s.supplied
	visit(s.spec.Controller.ResetsBelow.SI)
	visit(0)
	if p.farads > 0 {
		visit(p.source.EMF)
	}
	for _, c := range p.consumers {
		if across := c.across(); c.fed && across > 0 {
			visit(c.coil.PullIn / across)
			visit(c.coil.DropOut / across)
		}
	}
}

// powerPin is the supply at the controller's power terminal from a moment on, with everything that it feeds.
func (s *Site) powerPin(at signal.Time) harness.Pin {
	p := &s.supplied
	pin := harness.Pin{At: at, Terminal: p.terminal}
	pin.Volts, pin.Slope = p.line(at)
	if p.spec == nil {
		pin.Ohms = leadOhms
	}
	return pin
}

// line is the voltage at the controller at a moment of the present straight piece, V, and how fast it rises, V/s.
func (p *supplied) line(at signal.Time) (volts, slope float64) {
	if p.ends != signal.Never {
		slope = (p.course.At((p.ends - p.since).Seconds()) - p.course.X0) / (p.ends - p.since).Seconds()
	}
	return p.course.At((at - p.since).Seconds()), slope
}

// tellPower tells the controller its supply when that has changed.
func (s *Site) tellPower(at signal.Time) {
	pin := s.powerPin(at)
	before := s.supplied.pin
	if s.first || pin.Slope == before.Slope && pin.Volts == before.VoltsAt(at) {
		return
	}
	s.supplied.pin = pin
	s.pins = append(s.pins, pin)
}
