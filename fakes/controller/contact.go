package controller

import (
	"ullage/harness"
	"ullage/harness/signal"
)

// contact is a contact or pulse terminal: from volts to level, from level to operated.
type contact struct {
	*record
	board    *board
	terminal int
	device   string
	normal   bool                 // closed at rest
	kind     harness.TerminalKind // contact or pulse
	signal   signal.ID
	onPulse  func() // pulse: rouses the rule that counts; nil when none does

	high     bool        // logic level
	crosses  signal.Time // when a sloping pin changes the level
	raw      bool        // operated, before any filter
	closures int         // how often raw has turned true
	filter   filter      // debounced, for the rules that start and stop things
}

func (in *contact) reset(now signal.Time) {
	in.high = in.board.digital.IsHigh(in.board.pins[in.terminal], now, true)
	in.raw = !in.high != in.normal
	in.filter.clear()
	in.plan(now)
}

// step reads the level and filters it.
func (in *contact) step(now signal.Time) {
	if high := in.board.digital.IsHigh(in.board.pins[in.terminal], now, in.high); high != in.high {
		in.high, in.raw = high, !in.raw
		in.plan(now)
		in.turned()
	} else if now >= in.crosses {
		in.plan(now)
	}
	if in.kind == harness.PulseTerminal {
		return
	}
	was := in.filter.state
	if in.filter.step(now, in.raw); in.filter.state != was {
		in.changed = true
	}
	in.putState(in.signal, in.filter.state)
}

// turned has a change of the level looked at: a pulse by the rule that counts it, all else by every rule.
func (in *contact) turned() {
	if in.raw {
		in.closures++
	}
	if in.kind != harness.PulseTerminal {
		in.changed = true
	} else if in.onPulse != nil {
		in.onPulse()
	}
}

func (in *contact) wake() signal.Time {
	if in.kind == harness.PulseTerminal {
		return in.crosses
	}
	return min(in.crosses, in.filter.wake())
}

// plan finds the moment at which the pin as it is changes the level.
func (in *contact) plan(now signal.Time) {
	pin := in.board.pins[in.terminal]
	in.crosses = crossing(pin, now, func(t signal.Time) bool { return in.board.digital.IsHigh(pin, t, in.high) != in.high })
}
