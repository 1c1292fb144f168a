package outcome

import (
	"fmt"
	"math"

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

// numeric reports whether the condition compares with a limit.
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

// finite reports whether a figure can be a limit. With a finite one no distance from it is undefined, whatever the
// signal.
func finite(limit float64) bool { return !math.IsNaN(limit) && !math.IsInf(limit, 0) }

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
		return subject{}, fmt.Errorf("outcome: comparison %d of %s is unknown; want at least, at most, on or off", c.Is,
			c.Signal)
	}
	if !finite(c.Limit) {
		return subject{}, fmt.Errorf("outcome: the limit for %s is %v; want a finite number", c.Signal, c.Limit)
	}
	id, s, ok := signals(c.Signal)
	if !ok {
		return subject{}, &NotRecordedError{c.Signal}
	}
	if s.Shape == signal.Event && c.Is == Off {
		return subject{}, fmt.Errorf(
			"outcome: %s exists only at its events and is never off; want on, for each of them, or a limit for its figure",
			c.Signal,
		)
	}
	return subject{Condition: c, id: id, dim: s.Dim, shape: s.Shape}, nil
}
