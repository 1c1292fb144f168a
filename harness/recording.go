package harness

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"ullage/harness/fault"
	"ullage/harness/signal"
)

// recording is everything that a controller did in one run: what it put on its outputs and sent, and what it recorded.
// All of it is in memory, which so grows with what the controller does, and not with what the site does.
type recording struct {
	can     Abilities
	signals []signal.Signal // that it declared
	first   signal.ID       // of them
	knobs   []fault.Knob    // that it offered
	changes []signal.Change // that it recorded, in order
	steps   []step          // in order of time
}

// step is what a controller did at one moment, and how many changes it had recorded by then.
type step struct {
	at      signal.Time
	out     []Pin
	sent    []Frame
	changes int
}

// open opens a controller with everything that it declares, offers and records written down.
func (r *recording) open(ctx context.Context, c Controller, trace *signal.Trace, panel *fault.Panel, draw Draw) error {
	before, knobs := len(trace.Signals()), len(panel.Knobs())
	r.can, r.first = c.Can(), signal.ID(before)
	err := OpenController(ctx, c, listening{trace, r}, panel, draw)
	r.signals, r.knobs = trace.Signals()[before:], panel.Knobs()[knobs:]
	return err
}

// listening is the recorder of a controller whose changes are written down.
type listening struct {
	*signal.Trace
	to *recording
}

// Put is part of signal.Recorder.
func (l listening) Put(c signal.Change) {
	l.to.changes = append(l.to.changes, c)
	l.Trace.Put(c)
}

// did adds what the controller did at a moment.
func (r *recording) did(at signal.Time, out []Pin, sent []Frame) {
	if len(out)+len(sent) > 0 {
		r.steps = append(r.steps, step{at: at, out: slices.Clone(out), sent: slices.Clone(sent),
			changes: len(r.changes)})
	}
}

// replay is a controller that does what was recorded, at the recorded moments, and looks at nothing. It declares the
// signals and offers the knobs of the controller that was recorded, and turning these does nothing.
type replay struct {
	*recording
	record  signal.Recorder
	ids     []signal.ID
	now     signal.Time
	next    int // of the steps
	written int // of the changes
	closed  bool
}

// Can is what the recorded controller could do.
func (r *replay) Can() Abilities { return r.can }

// Open declares and offers what the recorded controller did.
func (r *replay) Open(_ context.Context, record signal.Recorder, panel *fault.Panel, _ Draw) error {
	r.record = record
	for _, s := range r.signals {
		r.ids = append(r.ids, record.Declare(s))
	}
	for _, k := range r.knobs {
		k.Set = func(signal.Time, float64) error { return nil }
		panel.Offer(k)
	}
	return nil
}

// Advance goes on to the next recorded step.
func (r *replay) Advance(ctx context.Context, to signal.Time, _ []Pin, _ []Frame) (signal.Time, []Pin, []Frame, error) {
	switch {
	case r.closed:
		return r.now, nil, nil, errors.New("the recording is closed")
	case ctx.Err() != nil:
		return r.now, nil, nil, context.Cause(ctx)
	case to < r.now:
		return r.now, nil, nil, fmt.Errorf("the recording is at %v and is asked to go back to %v", r.now, to)
	}
	if r.next < len(r.steps) && r.steps[r.next].at <= to {
		s := &r.steps[r.next]
		r.next++
		r.now = max(r.now, s.at)
		r.write(s.changes)
		return r.now, s.out, s.sent, nil
	}
	until := r.written // what was recorded at `to` itself may be the answer to what happens then
	for until < len(r.changes) && (r.changes[until].At < to || to == r.now && r.changes[until].At == to) {
		until++
	}
	r.write(until)
	r.now = to
	return to, nil, nil, nil
}

// write records the changes up to one.
func (r *replay) write(until int) {
	for ; r.written < until; r.written++ {
		c := r.changes[r.written]
		c.ID = r.ids[c.ID-r.first]
		r.record.Put(c)
	}
}

// Close ends the recording; there is nothing to make safe.
func (r *replay) Close() error {
	r.closed = true
	return nil
}
