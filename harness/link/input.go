package link

import (
	"math"

	"ullage/harness"
	"ullage/harness/signal"
)

// disconnected is the source impedance from which on a pin counts as an open circuit, Ω.
const disconnected = 1e9

// input is one input terminal: what the site connects to it and what the input stage reads from that.
type input struct {
	kind   harness.TerminalKind
	stage  harness.Input
	band   int         // how far the counts may move before that is news
	pin    harness.Pin // without hum, so that readings run one way between pins
	hum    harness.Pin // the pin as it came
	high   bool        // level of a contact or pulse terminal
	counts int         // of an analogue terminal
	news   bool        // something about it has not been sent yet
}

func newInput(t harness.Terminal, stage harness.Input, terminal int) input {
	in := input{kind: t.Kind, stage: stage, band: 1, pin: harness.Open(0, terminal), high: true}
	in.read(0)
	return in
}

// set connects something else to the terminal.
func (in *input) set(p harness.Pin, now signal.Time) {
	in.pin, in.hum, in.news = p.Calm(), p, true
	in.read(now)
}

// differs reports whether the reading at a moment is another than the one last sent.
func (in *input) differs(at signal.Time) bool {
	switch in.kind {
	case harness.ContactTerminal, harness.PulseTerminal:
		return in.stage.IsHigh(in.pin, at, in.high) != in.high
	case harness.AnalogueTerminal:
		moved := in.stage.Counts(in.pin, at) - in.counts
		return moved >= in.band || -moved >= in.band
	}
	return false
}

// read brings the reading to a moment.
func (in *input) read(at signal.Time) {
	if !in.differs(at) {
		return
	}
	in.news = true
	if in.kind == harness.AnalogueTerminal {
		in.counts = in.stage.Counts(in.pin, at)
	} else {
		in.high = !in.high
	}
}

// boot makes everything about the terminal news, with the counts exact.
func (in *input) boot(now signal.Time) {
	in.news = true
	in.read(now)
	if in.kind == harness.AnalogueTerminal {
		in.counts = in.stage.Counts(in.pin, now)
	}
}

// message is what is at the terminal now.
func (in *input) message(terminal string, now signal.Time) inputMessage {
	m := inputMessage{Terminal: terminal}
	switch in.kind {
	case harness.AnalogueTerminal:
		m.Counts = &in.counts
	case harness.ContactTerminal, harness.PulseTerminal:
		m.Level = "low"
		if in.high {
			m.Level = "high"
		}
	}
	if in.pin.Ohms < disconnected {
		m.Volts, m.Slope, m.Ohms = in.pin.VoltsAt(now), in.pin.Slope, &in.pin.Ohms
	}
	if in.hum.Hum != 0 {
		m.HumVolts, m.HumHertz = math.Abs(in.hum.Hum)*in.stage.Parallel(in.pin), in.hum.HumHertz
	}
	return m
}

// first is the first moment after now, and not after to, at which something becomes true that then stays true; to when
// it does not. A voltage runs straight from pin to pin, so that every reading of it moves one way only and halving the
// interval finds the nanosecond.
func first(now, to signal.Time, holds func(signal.Time) bool) signal.Time {
	if to <= now || !holds(to) {
		return to
	}
	for to-now > 1 {
		if middle := now + (to-now)/2; holds(middle) {
			to = middle
		} else {
			now = middle
		}
	}
	return to
}
