package harness_test

import (
	"context"
	"fmt"
	"math"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// The smallest stand that there is: a lamp at the only output, a contact at the only input, and parts that write down
// in one diary when they are called and with what.

const (
	lamp = iota
	button
)

var terminals = []harness.Terminal{{Name: "lamp", Kind: harness.OutputTerminal},
	{Name: "button", Kind: harness.ContactTerminal}}

type diary struct{ lines []string }

func (d *diary) note(format string, args ...any) {
	d.lines = append(d.lines, fmt.Sprintf(format, args...))
}

// tinySite presses the button at given moments, for as long as its knob is not at zero.
type tinySite struct {
	*diary
	presses []signal.Time // on, off, on...
	answer  bool          // a change of the lamp changes the button
	record  signal.Recorder
	lit     signal.ID
	pressed signal.ID
	knob    float64
	knobID  signal.ID
	done    int
	closed  int
}

func (s *tinySite) Open(ctx context.Context, record signal.Recorder, panel *fault.Panel, _ harness.Draw) error {
	s.record = record
	s.lit = record.Declare(signal.Signal{Device: "lamp", Quantity: "lit", Dim: quantity.State})
	s.pressed = record.Declare(signal.Signal{Device: "button", Quantity: "pressed", Dim: quantity.State})
	s.knobID = record.Declare(signal.Signal{Device: "button", Quantity: "knob", Dim: quantity.None})
	for _, id := range []signal.ID{s.lit, s.pressed, s.knobID} {
		record.Put(signal.Change{ID: id})
	}
	panel.Offer(fault.Knob{Device: "button", Kind: "button", Name: "knob", Max: 9, Join: fault.Add,
		Set: func(at signal.Time, v float64) error {
			s.note("knob %g at %v", v, at)
			s.knob = v
			record.Put(signal.Change{At: at, ID: s.knobID, Value: v})
			return nil
		}})
	return nil
}

func (s *tinySite) Next() signal.Time {
	if s.done < len(s.presses) {
		return s.presses[s.done]
	}
	return signal.Never
}

func (s *tinySite) Advance(ctx context.Context, to signal.Time, outputs []harness.Pin) ([]harness.Pin, error) {
	s.note("site %v", to)
	var pins []harness.Pin
	for _, p := range outputs {
		s.record.Put(signal.Change{At: to, ID: s.lit, Value: p.Volts / 12})
		if s.answer {
			pins = append(pins, harness.Pin{At: to, Terminal: button, Ohms: p.Volts})
		}
	}
	for s.done < len(s.presses) && s.presses[s.done] <= to {
		s.done++
		on := s.done%2 == 1
		s.record.Put(signal.Change{At: to, ID: s.pressed, Value: float64(s.done % 2)})
		if s.knob == 0 {
			pin := harness.Open(to, button)
			if on {
				pin.Ohms = 0
			}
			pins = append(pins, pin)
		}
	}
	return pins, nil
}

func (s *tinySite) Close() error { s.closed++; return nil }

// tinyNetwork acknowledges whatever is published, after a second.
type tinyNetwork struct {
	*diary
	acks []harness.Frame
}

func (n *tinyNetwork) Open(context.Context, signal.Recorder, *fault.Panel, harness.Draw) error {
	return nil
}
func (n *tinyNetwork) Close() error { return nil }

func (n *tinyNetwork) Next() signal.Time {
	if len(n.acks) > 0 {
		return n.acks[0].At
	}
	return signal.Never
}

func (n *tinyNetwork) Advance(ctx context.Context, to signal.Time, sent []harness.Frame) ([]harness.Frame, error) {
	n.note("network %v", to)
	for _, f := range sent {
		n.acks = append(n.acks, harness.Frame{At: to + signal.Second, Kind: harness.Acknowledged, Number: f.Number})
	}
	var got []harness.Frame
	for len(n.acks) > 0 && n.acks[0].At <= to {
		got, n.acks = append(got, n.acks[0]), n.acks[1:]
	}
	return got, nil
}

// tinyController lights the lamp while the button is pressed, and at moments of its own.
type tinyController struct {
	*diary
	own     []signal.Time // it switches its lamp then
	ring    bool          // it answers every change of the button with one of the lamp
	lie     signal.Time   // what it adds to the moment that it says it reached
	publish bool          // it publishes what it switches
	fail    error
	now     signal.Time
	on      bool
	done    int
	closed  int
}

func (c *tinyController) Open(context.Context, signal.Recorder, *fault.Panel, harness.Draw) error {
	return nil
}
func (c *tinyController) Close() error           { c.closed++; return nil }
func (c *tinyController) Can() harness.Abilities { return harness.Abilities{harness.Alerts: true} }

func (c *tinyController) Advance(ctx context.Context, to signal.Time, in []harness.Pin,
	got []harness.Frame) (signal.Time, []harness.Pin, []harness.Frame, error) {
	c.note("controller %v to %v: %d pins, %d frames", c.now, to, len(in), len(got))
	if c.fail != nil {
		return c.now, nil, nil, c.fail
	}
	for _, p := range in {
		if p.Terminal == button && (c.ring || (p.Ohms == 0) != c.on) {
			return c.switched(c.now)
		}
	}
	if c.done < len(c.own) && c.own[c.done] <= to {
		c.done++
		return c.switched(c.own[c.done-1])
	}
	c.now = to
	return to + c.lie, nil, nil, nil
}

func (c *tinyController) switched(at signal.Time) (signal.Time, []harness.Pin, []harness.Frame, error) {
	c.now, c.on = at, !c.on
	pin := harness.Pin{At: at, Terminal: lamp}
	if c.on {
		pin.Volts = 12
	}
	var frames []harness.Frame
	if c.publish {
		frames = []harness.Frame{{At: at, Kind: harness.Publish, Number: 1, Topic: harness.TopicReport}}
	}
	return at, []harness.Pin{pin}, frames, nil
}

type tiny struct {
	diary
	site       *tinySite
	network    *tinyNetwork
	controller *tinyController
}

func newTiny() *tiny {
	t := &tiny{}
	t.site, t.network, t.controller = &tinySite{
		diary: &t.diary,
	}, &tinyNetwork{
		diary: &t.diary,
	}, &tinyController{
		diary: &t.diary,
	}
	return t
}

func (t *tiny) stand() *harness.Stand {
	return &harness.Stand{Site: t.site, Network: t.network, Controller: t.controller, Terminals: terminals,
		Input: func(int) harness.Input {
			return harness.Input{Rail: 3.3, PullUp: 10e3, Leak: math.Inf(1), Low: 0.8, High: 2, Bits: 12}
		}}
}

// turn is a window on the knob.
func turn(value float64, from, until signal.Time) fault.Turn {
	return fault.Turn{Device: "button", Knob: "knob", Value: value, From: from, Until: until}
}

func end(at signal.Time) harness.Moment { return harness.Moment{Plus: at} }
