package outcome

import (
	"fmt"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// sentence is Sprintf for the reader of a verdict: moments are given to the microsecond, which is closer than anybody
// asks.
func sentence(format string, args ...any) string {
	for i, a := range args {
		if t, ok := a.(signal.Time); ok && t != signal.Never {
			const micro = signal.Millisecond / 1000
			args[i] = (t + micro/2) / micro * micro
		}
	}
	return fmt.Sprintf(format, args...)
}

// is puts the condition into words: "at most 600 mm", "on".
func (s subject) is() string {
	switch s.Is {
	case AtLeast:
		return "at least " + quantity.Format(s.Limit, s.dim)
	case AtMost:
		return "at most " + quantity.Format(s.Limit, s.dim)
	case On:
		return "on"
	}
	return "off"
}

// isNot puts into words what the signal is while the condition does not hold: "below 600 mm", "off".
func (s subject) isNot() string {
	switch s.Is {
	case AtLeast:
		return "below " + quantity.Format(s.Limit, s.dim)
	case AtMost:
		return "above " + quantity.Format(s.Limit, s.dim)
	}
	return subject{Condition: s.opposite()}.is()
}

// turning names the event at which the condition turns true: "tank.level reaching at least 600 mm".
func (s subject) turning() string {
	mark, ofScript := signal.Script.CutMark(s.Signal)
	switch {
	case ofScript:
		return mark
	case s.shape == signal.Event && !s.numeric():
		return s.Signal
	case s.shape == signal.Event:
		return s.Signal + " of " + s.is()
	case s.numeric():
		return s.Signal + " reaching " + s.is()
	}
	return s.Signal + " turning " + s.is()
}

// span puts a span of time into words.
func span(t signal.Time) string { return quantity.Format(t.Seconds(), quantity.Duration) }

// format prints a value of the signal.
func (s subject) format(v float64) string { return quantity.Format(v, s.dim) }

// difference prints a difference between two values of the signal.
func (s subject) difference(v float64) string {
	return quantity.FormatDifferenceIn(v, s.dim, quantity.Metric)
}
