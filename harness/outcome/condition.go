package outcome

import (
	"fmt"
	"math"
	"strings"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// NotRecordedError says that a property looks at a signal that the trace does not have.
type NotRecordedError struct{ Signal string }

// Error names the missing signal.
func (e *NotRecordedError) Error() string {
	return fmt.Sprintf("outcome: %s is not recorded in this run; the stand has no such signal", e.Signal)
}

// robustness says how far a value is on the right side of the condition: its distance from the limit, or plus or minus
// infinity for On and Off.
func (c Condition) robustness(value float64) float64 {
	switch {
	case c.Is == AtLeast:
		return value - c.Limit
	case c.Is == AtMost:
		return c.Limit - value
	case (value != 0) == (c.Is == On):
		return math.Inf(1)
	}
	return math.Inf(-1)
}

// value undoes robustness for a numeric condition.
func (c Condition) value(robustness float64) float64 {
	if c.Is == AtLeast {
		return c.Limit + robustness
	}
	return c.Limit - robustness
}

// numeric tells whether the condition compares with a limit.
func (c Condition) numeric() bool { return c.Is == AtLeast || c.Is == AtMost }

// opposite is the condition that holds when c does not.
func (c Condition) opposite() Condition {
	switch c.Is {
	case AtLeast:
		c.Is = AtMost
	case AtMost:
		c.Is = AtLeast
	case On:
		c.Is = Off
	case Off:
		c.Is = On
	}
	return c
}

// subject is a condition with what the trace declares of its signal.
type subject struct {
	Condition
	id    signal.ID
	dim   quantity.Dimension
	shape signal.Shape
}

// find looks the signal of a condition up.
func find(c Condition, signals Lookup) (subject, error) {
	if c.Is > Off {
		return subject{}, fmt.Errorf("outcome: comparison %d of %s is unknown; want at least, at most, on or off", c.Is, c.Signal)
	}
	if math.IsNaN(c.Limit) {
		return subject{}, fmt.Errorf("outcome: the limit for %s is not a number", c.Signal)
	}
	id, s, ok := signals(c.Signal)
	if !ok {
		return subject{}, &NotRecordedError{c.Signal}
	}
	if s.Shape == signal.Event && c.Is == Off {
		return subject{}, fmt.Errorf("outcome: %s exists only at its events and is never off; want on, for each of them, or a limit for its figure", c.Signal)
	}
	return subject{Condition: c, id: id, dim: s.Dim, shape: s.Shape}, nil
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
	mark, ofScript := strings.CutPrefix(s.Signal, scriptDevice+".")
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
