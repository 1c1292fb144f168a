package controller

import (
	"context"
	"fmt"
	"math"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/signal"
)

// Drifting is a controller whose oscillator may be off: all that it times is stretched or shrunk alike, as its firmware
// counts ticks and knows no other time. With the knob at rest it is the controller itself.
type Drifting struct {
	*Controller
	rate     float64     // ticks of its time in one of the stand's
	from, at signal.Time // the stand's time and its own, when the rate was set
	now      signal.Time // of the stand
	began    signal.Time // its own time at that moment
	off      bool        // it has been off: its time is no longer the stand's
	out      []harness.Pin
	sent     []harness.Frame
	in       []harness.Pin
}

var (
	_ harness.Controller = (*Drifting)(nil)
	_ harness.Turnable   = (*Drifting)(nil)
)

// OnOscillator puts a controller on an oscillator, which is right until a fault turns it.
func OnOscillator(c *Controller) *Drifting { return &Drifting{Controller: c, rate: 1} }

// Open is that of the controller.
func (d *Drifting) Open(ctx context.Context, record signal.Recorder, panel *fault.Panel, draw harness.Draw) error {
	return d.Controller.Open(ctx, translated{record, d}, panel, draw)
}

// Knobs are those of the controller, and the oscillator.
func (d *Drifting) Knobs() []harness.ControllerKnob {
	return append(d.Controller.Knobs(), harness.KnobOscillator)
}

// Turn turns the oscillator or a knob of the controller.
func (d *Drifting) Turn(at signal.Time, knob harness.ControllerKnob, value float64) error {
	if knob != harness.KnobOscillator {
		return d.Controller.Turn(at, knob, value)
	}
	d.turn(at, value)
	return nil
}

// turn gives the oscillator another rate from the present on.
func (d *Drifting) turn(at signal.Time, rate float64) {
	if d.rate == rate {
		return
	}
	c := d.Controller
	d.at, d.from, d.began = c.now, at, c.now
	for i := range c.board.pins { // their slopes are others in its time
		c.board.pins[i].Volts, c.board.pins[i].At = c.board.pins[i].VoltsAt(c.now), c.now
		c.board.pins[i].Slope *= d.rate / rate
	}
	d.rate, d.off = rate, true
	for _, in := range c.contacts {
		in.plan(c.now)
	}
	c.power.plan(c.now)
	c.changed = true
}

// own is the controller's time at a moment of the stand.
func (d *Drifting) own(t signal.Time) signal.Time {
	if !d.off {
		return t
	}
	return d.at + signal.Time(math.Floor(float64(t-d.from)*d.rate))
}

// stands is the first moment of the stand at which it is some time of the controller.
func (d *Drifting) stands(own signal.Time) signal.Time {
	if !d.off || own == signal.Never {
		return own
	}
	t := d.from + signal.Time(math.Floor(float64(own-d.at)/d.rate))
	for d.own(t) < own {
		t++
	}
	return t
}

// Advance is that of the controller, in the stand's time.
func (d *Drifting) Advance(
	ctx context.Context,
	to signal.Time,
	in []harness.Pin,
	got []harness.Frame,
) (signal.Time, []harness.Pin, []harness.Frame, error) {
	if !d.off {
		reached, out, sent, err := d.Controller.Advance(ctx, to, in, got)
		d.now = reached
		return reached, out, sent, err
	}
	if to < d.now {
		return d.now, nil, nil, fmt.Errorf("controller: asked to run until %v, but it is %v already", to, d.now)
	}
	d.in = d.in[:0]
	for _, pin := range in {
		pin.Volts, pin.At = pin.VoltsAt(d.now), d.Controller.now
		pin.Slope /= d.rate
		d.in = append(d.in, pin)
	}
	// What is due at a moment of its own that comes before `to` is done, and no more.
	d.began = d.Controller.now
	reached, out, sent, err := d.Controller.Advance(ctx, max(d.own(to-1)+1, d.began), d.in, got)
	if err != nil {
		return d.now, nil, nil, err
	}
	switch {
	case len(out)+len(sent) == 0:
		d.now = to
	case reached > d.began:
		d.now = d.stands(reached)
	}
	d.began = d.Controller.now
	d.out, d.sent = d.out[:0], d.sent[:0]
	for _, pin := range out {
		pin.At, pin.Slope = d.now, pin.Slope*d.rate
		d.out = append(d.out, pin)
	}
	for _, f := range sent {
		f.At = d.now
		d.sent = append(d.sent, f)
	}
	return d.now, d.out, d.sent, nil
}

// translated records what a controller puts at its own time in the stand's.
type translated struct {
	signal.Recorder
	d *Drifting
}

// Put is part of signal.Recorder.
func (r translated) Put(c signal.Change) {
	switch {
	case !r.d.off:
	case c.At <= r.d.began:
		c.At = r.d.now
	default:
		c.At = r.d.stands(c.At)
	}
	r.Recorder.Put(c)
}
