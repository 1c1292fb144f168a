package wiring

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
func (p *supply) piece(at signal.Time, volts float64) {
	p.since, p.ends = at, signal.Never
	curved := p.course.A != 0 || p.course.B != 0
	switch {
	case curved:
		seconds := p.beforeLevels(p.course.Straight(voltTolerance))
		if !math.IsInf(seconds, 1) {
			p.ends = at + max(1, signal.FromSeconds(seconds))
		}
	case p.battery != nil && p.amps > 0:
		seconds := math.Min(longestPiece, math.Max(1, usedAtOnce*p.share(p.drawn)*p.battery.Capacity/p.amps))
		if p.share(p.drawn) == p.share(p.drawn+float64(p.amps*longestPiece)) { // flat, or held so by its knob
			seconds = longestPiece
		}
		after := p.sourceAfter(p.drawn + float64(p.amps*seconds)).Loaded(p.load)
		p.course.A = (after - volts) / seconds
		p.ends = at + max(1, signal.FromSeconds(p.beforeLevels(seconds)))
	}
}

// beforeLevels shortens a time in seconds to that after which the voltage at the controller reaches one at which something
// happens: the controller's own reset, the source behind the rectifier, no voltage, and the coils'.
func (p *supply) beforeLevels(seconds float64) float64 {
	visit := func(level float64) {
		if t := p.course.Reaches(level); t > 0 {
			seconds = math.Min(seconds, t)
		}
	}
	visit(p.resets)
	visit(0)
	if p.farads > 0 {
		visit(p.source.EMF)
	}
	for _, x := range p.loads {
		c := x.wires()
		if across := c.across(); c.fed && across > 0 {
			visit(c.coil.PullIn / across)
			visit(c.coil.DropOut / across)
		}
	}
	return seconds
}

// volts is the voltage at the controller at a moment of the present piece, V.
func (p *supply) volts(at signal.Time) float64 { return p.course.At((at - p.since).Seconds()) }

// line is the voltage at the controller at a moment of the present straight piece, V, and how fast it rises, V/s.
func (p *supply) line(at signal.Time) (volts, slope float64) {
	if p.ends != signal.Never {
		slope = (p.course.At((p.ends - p.since).Seconds()) - p.course.X0) / (p.ends - p.since).Seconds()
	}
	return p.volts(at), slope
}

// pin is the supply at the controller's power terminal from a moment on, with everything that it feeds.
func (p *supply) pin(at signal.Time) harness.Pin {
	pin := harness.Pin{At: at, Terminal: len(p.terminals) - 1}
	pin.Volts, pin.Slope = p.line(at)
	if p.spec == nil {
		pin.Ohms = leadOhms
	}
	return pin
}

// sendVoltage sends the controller its supply when that has changed.
func (p *supply) sendVoltage(at signal.Time) {
	pin := p.pin(at)
	if !p.live || pin.Slope == p.last.Slope && pin.Volts == p.last.VoltsAt(at) {
		return
	}
	p.last = pin
	p.send(pin)
}

// start sends the controller its supply for the first time.
func (p *supply) start(at signal.Time) {
	p.last = p.pin(at)
	p.send(p.last)
}
