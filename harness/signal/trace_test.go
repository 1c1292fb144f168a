package signal_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/harness/signal"
)

// heard is a sink that keeps what it is told.
type heard struct {
	changes []signal.Change
	end     signal.Time
}

func (h *heard) Put(c signal.Change)   { h.changes = append(h.changes, c) }
func (h *heard) Close(end signal.Time) { h.end = end }

func traceOf(shape signal.Shape, changes ...signal.Change) (*signal.Trace, *heard) {
	trace, sink := signal.NewTrace(), &heard{}
	trace.Declare(signal.Signal{Device: "tank", Quantity: "level", Shape: shape})
	trace.Watch(sink)
	for _, c := range changes {
		trace.Put(c)
	}
	return trace, sink
}

func TestValueBetweenChanges(t *testing.T) {
	changes := []signal.Change{
		{At: 10, Value: 1},
		{At: 20, Value: 3},
		{At: 20, Value: 7},
		{At: 40, Value: 7},
		{At: 60, Value: 5},
	}
	for _, c := range []struct {
		at           signal.Time
		held, linear float64
	}{
		{0, 1, 1}, {10, 1, 1}, {15, 1, 2}, {19, 1, 2.8}, {20, 7, 7}, {30, 7, 7}, {50, 7, 6}, {60, 5, 5}, {signal.Never, 5, 5},
	} {
		held, _ := traceOf(signal.Held, changes...)
		linear, _ := traceOf(signal.Linear, changes...)
		assert.Equal(t, c.held, held.At(0, c.at), "a held signal at %v", int64(c.at))
		assert.InDelta(t, c.linear, linear.At(0, c.at), 1e-12, "a linear signal at %v", int64(c.at))
	}
	empty, _ := traceOf(signal.Linear)
	assert.True(t, math.IsNaN(empty.At(0, 5)), "a signal that never changed has no value")
}

// Equal values are stored where they say something: for a held signal never, for a linear one when time has passed, for
// an event always. Sinks hear what is stored and nothing else.
func TestEqualValues(t *testing.T) {
	again := []signal.Change{{At: 10, Value: 1}, {At: 10, Value: 1}, {At: 20, Value: 1}}
	for shape, want := range map[signal.Shape]int{signal.Held: 1, signal.Linear: 2, signal.Event: 3} {
		trace, sink := traceOf(shape, again...)
		trace.Close(99)
		assert.Len(t, trace.Column(0).At, want, "%v signal", shape)
		assert.Len(t, sink.changes, want, "a sink must receive what is stored of a %v signal", shape)
		assert.Equal(t, signal.Time(99), sink.end)
		assert.Equal(t, signal.Time(99), trace.End())
	}
}

func TestNamesAndNumbers(t *testing.T) {
	trace, _ := traceOf(signal.Held)
	id := trace.Declare(signal.Signal{Device: "tank", Quantity: "draw", Shape: signal.Linear})
	assert.Equal(t, signal.ID(1), id, "signals are numbered in the order of declaration")
	found, ok := trace.Find("tank.draw")
	assert.True(t, ok)
	assert.Equal(t, id, found)
	_, ok = trace.Find("tank.colour")
	assert.False(t, ok)
}

func TestMistakesOfTheProgramPanic(t *testing.T) {
	trace, _ := traceOf(signal.Held, signal.Change{At: 10, Value: 1})
	assert.PanicsWithValue(t, "signal: tank.level is declared twice", func() {
		trace.Declare(signal.Signal{Device: "tank", Quantity: "level"})
	})
	assert.PanicsWithValue(
		t,
		"signal: tank.level at 00:00:00.000000009, but the trace is at 00:00:00.00000001",
		func() {
			trace.Put(signal.Change{At: 9, Value: 2})
		},
	)
	assert.PanicsWithValue(t, "signal: tank.level at 00:00:00.000000011 is not a number", func() {
		trace.Put(signal.Change{At: 11, Value: math.NaN()})
	})
}
