package harness

import (
	"fmt"

	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/signal"
)

// director makes the acts of a script happen: it knows when each is due, watches for the events they wait for, and
// opens and closes their windows on the knobs.
type director struct {
	script  *Script
	trace   *signal.Trace
	panel   *fault.Panel
	marks   []signal.ID // of the acts
	begin   signal.ID
	begins  signal.Time
	begun   bool
	began   []signal.Time // of the acts; Never before
	waits   []wait        // of the acts
	windows []window      // still to open or to close
}

// wait is how far an act has come in waiting for its event.
type wait struct {
	watch outcome.Watch // reports when the event happens
	since signal.Time   // the event counts from here on; Never while the act waits for an earlier act
	seen  signal.Time   // the event happened; Never before
}

// newDirector declares the marks and makes sure that every knob is there before anything moves.
func newDirector(script *Script, trace *signal.Trace, panel *fault.Panel) (*director, error) {
	d := &director{script: script, trace: trace, panel: panel, begins: signal.Never}
	d.begin = trace.Declare(signal.Script.Begins())
	for _, a := range script.Acts {
		d.marks = append(d.marks, trace.Declare(signal.Script.Mark(a.Mark)))
		d.began = append(d.began, signal.Never)
		w := wait{since: signal.Never, seen: signal.Never}
		if a.On != nil {
			id, ok := trace.Find(a.On.Signal)
			if !ok {
				return nil, unrecorded(a.On.Signal, a.Text, "waits for")
			}
			w.watch = outcome.NewWatch(*a.On, id, trace.Signals()[id].Shape)
		}
		d.waits = append(d.waits, w)
		for _, t := range a.Turns {
			_, err := panel.Find(t.Device, t.Knob)
			if err != nil && t.Device == string(signal.Controller) {
				err = fmt.Errorf("this controller offers no knob %q", t.Knob)
			}
			if err != nil {
				return nil, &CannotError{fmt.Sprintf("cannot realise %q: %v", a.Text, err)}
			}
		}
	}
	trace.Watch(d)
	return d, nil
}

// Put notes the events that acts wait for; the director is a sink of the trace.
func (d *director) Put(c signal.Change) {
	for i := range d.waits {
		w := &d.waits[i]
		if d.script.Acts[i].On == nil {
			continue
		}
		if w.watch.Put(c) && w.since <= c.At && w.seen == signal.Never {
			w.seen = c.At
		}
	}
}

// Close is part of signal.Sink.
func (d *director) Close(signal.Time) {}

// moment is the absolute time of a moment, Never while its act has not begun.
func (d *director) moment(m Moment) signal.Time {
	if m.Act == 0 {
		return m.Plus
	}
	if began := d.began[m.Act-1]; began != signal.Never {
		return began + m.Plus
	}
	return signal.Never
}

// due is when an act begins as far as is known now, and whether it gives up then instead.
func (d *director) due(i int) (at signal.Time, givesUp bool) {
	a, w := &d.script.Acts[i], &d.waits[i]
	from := d.moment(a.When)
	switch {
	case from == signal.Never || a.On == nil:
		return from, false
	case w.seen != signal.Never:
		return w.seen + a.After, false
	case a.Within > 0 && d.script.Until == 0:
		return from + a.Within + 1, true // what happens at the end of the wait still counts
	}
	return signal.Never, false
}

// next is the next moment at which the script has something to do.
func (d *director) next() signal.Time {
	next := signal.Never
	if !d.begun {
		next = d.moment(d.script.Begins)
	}
	for i, began := range d.began {
		if began == signal.Never {
			at, _ := d.due(i)
			next = min(next, at)
			if d.waits[i].since == signal.Never {
				next = min(next, d.moment(d.script.Acts[i].When))
			}
		}
	}
	for i := range d.windows {
		next = min(next, d.windows[i].next())
	}
	return next
}

// act does everything that is due at a moment: windows that end, acts that begin, windows that begin.
func (d *director) act(now signal.Time) error {
	if !d.begun && d.moment(d.script.Begins) <= now {
		d.begun, d.begins = true, now
		d.trace.Put(signal.Change{At: now, ID: d.begin, Value: 1})
	}
	for i := range d.script.Acts {
		if err := d.beginIfDue(i, now); err != nil {
			return err
		}
	}
	return d.turn(now)
}

// beginIfDue begins an act that is due.
func (d *director) beginIfDue(i int, now signal.Time) error {
	a := &d.script.Acts[i]
	if d.began[i] != signal.Never {
		return nil
	}
	if d.waits[i].since == signal.Never && d.moment(a.When) <= now {
		d.waits[i].since = now
		if a.During && d.waits[i].watch.Holds() {
			d.waits[i].seen = now
		}
	}
	at, givesUp := d.due(i)
	if at > now {
		return nil
	}
	if givesUp {
		return &DidNotHappenError{Act: a.Text, Signal: a.On.Signal, Waited: a.Within}
	}
	d.began[i] = now
	d.trace.Put(signal.Change{At: now, ID: d.marks[i], Value: 1})
	for _, t := range a.Turns {
		t.From += now
		if t.Until != signal.Never {
			t.Until += now
		}
		knob, err := d.panel.Find(t.Device, t.Knob)
		if err != nil {
			return err
		}
		d.windows = append(d.windows, window{Turn: t, rest: knob.Rest})
	}
	return nil
}

// turn closes and opens the windows that are due, and moves those that go over time. One that would end at the moment
// at which it begins never opens.
func (d *director) turn(now signal.Time) error {
	kept := d.windows[:0]
	for _, w := range d.windows {
		if w.Until <= now {
			if w.open {
				if err := d.panel.Close(now, w.Device, w.Knob, w.value); err != nil {
					return err
				}
			}
			continue
		}
		if w.next() <= now {
			if err := w.turn(now, d.panel); err != nil {
				return err
			}
		}
		kept = append(kept, w)
	}
	d.windows = kept
	return nil
}

// end is the moment up to which the run must go, known once every act has begun.
func (d *director) end() (signal.Time, bool) {
	if d.script.Until > 0 {
		return d.script.Until, true
	}
	for _, began := range d.began {
		if began == signal.Never {
			return signal.Never, false
		}
	}
	end := d.moment(d.script.End)
	return end, end != signal.Never
}
