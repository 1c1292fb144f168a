package controller

import "ullage/harness/signal"

// phase is what the supply lets the controller do.
type phase uint8

const (
	off phase = iota
	booting
	running
	hung // the loop stands still
)

// supervisor is for how long a brown-out detector holds the reset, so that a supply that comes and goes cannot make it
// start many times a second: 0.1 s, common practice, no source.
const supervisor = 100 * signal.Millisecond

// undetected is the share of the brown-out level below which a board without a detector is off. Above it its loop
// stands still, with the outputs as they are (common practice, no source).
const undetected = 0.25

// power watches the supply: below the brown-out level the controller is off at once, above it boots.
type power struct {
	*loop
	board       *board
	firmware    *firmware
	resetsBelow float64 // V
	detector    bool    // the board has a brown-out detector
	boots       signal.Time

	phase   phase
	reset   bool        // the reset line was pulled since the last step
	ready   signal.Time // booting: when the control loop begins
	held    signal.Time // off: the supervisor holds the reset until then
	changes signal.Time // when a sloping supply crosses the level
}

func (p *power) running() bool { return p.phase == running }

// level is the supply below which something happens.
func (p *power) level() float64 {
	if p.phase == hung && !p.detector {
		return p.resetsBelow * undetected
	}
	return p.resetsBelow
}

func (p *power) good(at signal.Time) bool { return p.board.supplyVolts(at) >= p.level() }

// plan finds when the supply as it is crosses the brown-out level.
func (p *power) plan(now signal.Time) {
	good := p.good(now)
	p.changes = crossing(p.board.supply(), now, func(t signal.Time) bool { return p.good(t) != good })
}

func (p *power) wake() signal.Time {
	switch {
	case p.reset:
		return p.now
	case p.phase == booting && p.now < p.firmware.floatsUntil:
		return min(p.firmware.floatsUntil, p.changes)
	case p.phase == booting:
		return min(p.ready, p.changes)
	case p.phase == hung:
		return min(p.firmware.bites, p.changes)
	case p.phase == off && p.good(p.now):
		return min(max(p.held, p.now), p.changes)
	}
	return p.changes
}

// step says whether a phase has begun.
func (p *power) step(now signal.Time) bool {
	p.changed = p.firmware.settles(now) || p.changed
	if now < p.wake() && !p.changed {
		return false
	}
	if now >= p.changes {
		p.plan(now)
	}
	next, begins := p.next(now)
	p.reset = false
	if begins {
		p.enter(now, next)
	}
	return begins
}

// next is the phase that is to begin, if one is.
func (p *power) next(now signal.Time) (next phase, begins bool) {
	switch good := p.good(now); {
	case !good && p.phase == running && !p.detector:
		return hung, true
	case !good && p.phase != off:
		return off, true
	case good && p.phase == running && p.firmware.hangs:
		return hung, true
	case good && (p.phase == off && now >= p.held || p.phase != off && p.reset || p.phase == hung && now >= p.firmware.bites):
		return booting, true
	case p.phase == booting && now >= p.ready:
		return running, true
	}
	return p.phase, false
}

func (p *power) enter(now signal.Time, next phase) {
	p.phase, p.changed = next, true
	p.plan(now)
	switch next {
	case off:
		p.held = now + supervisor
	case booting:
		p.ready = now + p.boots + p.firmware.boot(now)
	case hung:
		if p.firmware.hangs {
			p.firmware.hang(now)
		}
	}
}
