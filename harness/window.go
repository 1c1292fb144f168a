package harness

import (
	"ullage/harness/fault"
	"ullage/harness/signal"
)

// window is one turn of one act with its absolute times.
type window struct {
	fault.Turn
	open  bool
	rest  float64 // of the knob
	steps int     // of a ramp that have been made
	value float64 // that it has on the knob while it is open
}

// next is when the window opens, goes one step on, or ends.
func (w *window) next() signal.Time {
	switch {
	case !w.open:
		return w.From
	case w.Over > 0 && w.steps < fault.RampSteps:
		_, at := w.Step(w.steps+1, w.rest)
		return min(at, w.Until)
	}
	return w.Until
}

// turn opens a window that is due, or makes the steps that are due of an open one.
func (w *window) turn(now signal.Time, panel *fault.Panel) error {
	if !w.open {
		w.open, w.value = true, w.Value
		if w.Over > 0 {
			w.value = w.rest
		}
		return panel.Open(now, w.Device, w.Knob, w.value)
	}
	before := w.value
	for w.Over > 0 && w.steps < fault.RampSteps {
		value, at := w.Step(w.steps+1, w.rest)
		if at > now {
			break
		}
		w.steps, w.value = w.steps+1, value
	}
	if w.value == before {
		return nil
	}
	return panel.Move(now, w.Device, w.Knob, before, w.value)
}
