package controller

import (
	"fmt"
	"sort"

	"ullage/harness"
	"ullage/harness/signal"
)

// defaultDebounce is used where no fill rule gives one: common practice, no source.
const defaultDebounce = 500 * signal.Millisecond

// filter debounces: a change of the raw state counts when it has lasted.
type filter struct {
	on, off signal.Time // how long the raw state must last to turn the filter on, off
	state   bool
	pending bool        // the raw state differs from state
	since   signal.Time // from when on it does
}

func (f *filter) step(now signal.Time, raw bool) {
	if raw == f.state {
		f.pending = false
		return
	}
	if !f.pending {
		f.pending, f.since = true, now
	}
	if now >= f.wake() {
		f.state, f.pending = raw, false
	}
}

func (f *filter) wake() signal.Time {
	switch {
	case !f.pending:
		return signal.Never
	case f.state:
		return f.since + f.off
	}
	return f.since + f.on
}

// clear forgets the past: not operated.
func (f *filter) clear() { f.state, f.pending = false, false }

// contact is a contact or pulse terminal: from volts to level, from level to operated.
type contact struct {
	c        *Controller
	terminal int
	device   string
	normal   bool                 // closed at rest
	kind     harness.TerminalKind // contact or pulse
	signal   signal.ID

	high     bool        // logic level
	crosses  signal.Time // when a sloping pin changes the level
	raw      bool        // operated, before any filter
	closures int         // how often raw has turned true
	filter   filter      // debounced, for the rules that start and stop things
}

func (in *contact) reset(now signal.Time) {
	in.high = in.c.digital.IsHigh(in.c.pins[in.terminal], now, true)
	in.raw = !in.high != in.normal
	in.filter.clear()
	in.plan(now)
}

// step reads the level and filters it.
func (in *contact) step(now signal.Time) {
	if high := in.c.digital.IsHigh(in.c.pins[in.terminal], now, in.high); high != in.high {
		in.high, in.raw = high, !in.raw
		in.plan(now)
		if in.kind == harness.PulseTerminal { // only the flow alarms count pulses
			in.c.rouse(in.c.flow)
		} else {
			in.c.stirred = true
		}
		if in.raw {
			in.closures++
		}
	} else if now >= in.crosses {
		in.plan(now)
	}
	if in.kind == harness.PulseTerminal {
		return
	}
	was, pending := in.filter.state, in.filter.pending
	if in.filter.step(now, in.raw); in.filter.state != was {
		in.c.stirred = true
	}
	if in.c.has(debounceBlocks) && in.filter.pending && !pending {
		in.c.blocked = in.filter.wake()
	}
	in.c.putState(in.signal, in.filter.state)
}

func (in *contact) wake() signal.Time {
	if in.kind == harness.PulseTerminal {
		return in.crosses
	}
	return min(in.crosses, in.filter.wake())
}

// plan finds the moment at which the pin as it is changes the level.
func (in *contact) plan(now signal.Time) {
	pin := in.c.pins[in.terminal]
	in.crosses = crossing(pin, now, func(t signal.Time) bool { return in.c.digital.IsHigh(pin, t, in.high) != in.high })
}

// crossing is the first moment after now at which something that depends on the pin alone turns true, to the nanosecond.
func crossing(pin harness.Pin, now signal.Time, is func(signal.Time) bool) signal.Time {
	if pin.Slope == 0 {
		return signal.Never
	}
	ahead := int(signal.Never - now)
	n := sort.Search(ahead, func(i int) bool { return is(now + 1 + signal.Time(i)) })
	if n == ahead {
		return signal.Never
	}
	return now + 1 + signal.Time(n)
}

// probe is an analogue terminal.
type probe struct {
	terminal int
	device   string
}

// read takes over the pins that have changed.
func (c *Controller) read(in []harness.Pin) error {
	for _, pin := range in {
		if pin.Terminal < 0 || pin.Terminal >= len(c.pins) {
			return fmt.Errorf("controller: a pin for terminal %d, but there are %d", pin.Terminal, len(c.pins))
		}
		if pin.At > c.now {
			return fmt.Errorf("controller: a pin of %v, but it is %v", pin.At, c.now)
		}
		c.pins[pin.Terminal] = pin
		for _, in := range c.contacts {
			if in.terminal == pin.Terminal {
				in.plan(c.now)
				c.rouse(in)
			}
		}
		if pin.Terminal == c.power.terminal {
			c.power.plan(c.now)
			c.stirred = true
		}
	}
	return nil
}

// rouse has one rule look at the present moment, without the others. A probe rouses nobody: it is read when its time comes.
func (c *Controller) rouse(r rule) {
	for i := range c.rules {
		if c.rules[i] == r {
			c.wakes[i] = min(c.wakes[i], c.now)
		}
	}
}
