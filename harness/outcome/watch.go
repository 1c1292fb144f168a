package outcome

import "ullage/harness/signal"

// Watch tells, change by change, when an event happens.
type Watch struct {
	event Event
	id    signal.ID
	shape signal.Shape
	was   bool
}

// NewWatch watches for an event on a signal with this number and shape.
func NewWatch(event Event, id signal.ID, shape signal.Shape) Watch {
	return Watch{event: event, id: id, shape: shape}
}

// Put takes the next change of the trace, of whatever signal, and reports whether the event happens with it.
func (w *Watch) Put(c signal.Change) bool {
	if c.ID != w.id {
		return false
	}
	if w.shape == signal.Event {
		return true
	}
	is := w.event.holds(c.Value)
	happens := is && !w.was
	w.was = is
	return happens
}

// Holds reports whether the condition of the event holds after the changes that were put.
func (w *Watch) Holds() bool { return w.was }

// holds reports whether a value fulfils the condition.
func (c Condition) holds(value float64) bool {
	switch c.Is {
	case AtLeast:
		return value >= c.Limit
	case AtMost:
		return value <= c.Limit
	case On:
		return value != 0
	}
	return value == 0
}
