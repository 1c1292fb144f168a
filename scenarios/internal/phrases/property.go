package phrases

import (
	"ullage/harness/outcome"
	"ullage/harness/signal"
)

// is is the condition that a signal is on one side of a limit.
func is(s signal.Signal, side outcome.Comparison, limit float64) outcome.Condition {
	return outcome.Condition{Signal: s.Name(), Is: side, Limit: limit}
}

// isOn is the condition that a state is on.
func isOn(s signal.Signal) outcome.Condition { return is(s, outcome.On, 0) }

// isOff is the condition that a state is off.
func isOff(s signal.Signal) outcome.Condition { return is(s, outcome.Off, 0) }

// turnsOn is the event that a state turns on, or that an event happens.
func turnsOn(s signal.Signal) outcome.Event { return outcome.Event{Condition: isOn(s)} }

// turnsOff is the event that a state turns off.
func turnsOff(s signal.Signal) outcome.Event { return outcome.Event{Condition: isOff(s)} }

// always says that a signal stays on one side of a limit.
func always(s signal.Signal, side outcome.Comparison, limit float64) outcome.Property {
	return outcome.Always(is(s, side, limit))
}

// riseAtMost limits by how much a signal rises.
func riseAtMost(s signal.Signal, limit float64) outcome.Property {
	return outcome.RiseAtMost(s.Name(), limit)
}

// deadline makes a property of the event that it counts from and the time that it allows.
type deadline func(from outcome.Event, within signal.Time) outcome.Property

// becomes says that a condition is, or becomes, true in time.
func becomes(condition outcome.Condition) deadline {
	return func(from outcome.Event, within signal.Time) outcome.Property {
		return outcome.TurnsWithin(from, within, condition)
	}
}

// settles is for what has to be over, and stay so to the deadline.
func settles(condition outcome.Condition) deadline {
	return func(from outcome.Event, within signal.Time) outcome.Property {
		return outcome.SettlesWithin(from, within, condition)
	}
}

// happens says that an event happens in time.
func happens(event outcome.Event) deadline {
	return func(from outcome.Event, within signal.Time) outcome.Property {
		return outcome.EventWithin(from, within, event)
	}
}
