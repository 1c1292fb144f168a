package outcome

import (
	"sort"

	"pgregory.net/rapid"

	"ullage/harness/signal"
)

// unit is the grid of drawn traces. Slopes are whole numbers a unit, at most 2, limits whole numbers, and intervals
// whole units: wherever two lines cross, they do so at a multiple of a twelfth of a unit, which tick is.
const (
	tick = signal.Time(1000)
	unit = 12 * tick
)

// The signals of a drawn trace, by number; the mark is 0.
var drawnSignals = []signal.Signal{
	{Device: "l", Quantity: "x", Shape: signal.Linear},
	{Device: "m", Quantity: "x", Shape: signal.Linear},
	{Device: "h", Quantity: "x", Shape: signal.Held},
	{Device: "p", Quantity: "on", Shape: signal.Held},
	{Device: "q", Quantity: "on", Shape: signal.Held},
	{Device: "e", Quantity: "ring", Shape: signal.Event},
}

// drawTrace draws a trace of all signals on a grid. Each begins at 0, but for the events and, when late is set, the
// others too may begin later. Several changes may fall into one moment.
func drawTrace(t *rapid.T, grid signal.Time, late bool) *signal.Trace {
	length := rapid.IntRange(1, 12).Draw(t, "length")
	var changes []signal.Change
	add := func(at int, id signal.ID, v int) {
		changes = append(changes, signal.Change{At: signal.Time(at) * grid, ID: id, Value: float64(v)})
	}
	for i := rapid.IntRange(0, 2).Draw(t, "marks"); i >= 0; i-- {
		add(rapid.IntRange(0, min(3, length)).Draw(t, "mark"), 0, 0)
	}
	for i, s := range drawnSignals {
		id, at := signal.ID(i+1), 0
		if late {
			at = rapid.SampledFrom([]int{0, 0, 0, 1, 3}).Draw(t, "first of "+s.Name())
		}
		v := rapid.IntRange(-3, 3).Draw(t, "value")
		for at <= length {
			switch s.Shape {
			case signal.Linear:
				add(at, id, v)
				if rapid.IntRange(0, 3).Draw(t, "jump?") == 0 {
					v = rapid.IntRange(-3, 3).Draw(t, "jump")
					add(at, id, v)
				}
				step := rapid.IntRange(1, 4).Draw(t, "step")
				at, v = at+step, v+step*rapid.IntRange(-2, 2).Draw(t, "slope")
			case signal.Event:
				if rapid.Bool().Draw(t, "event?") {
					add(at, id, v)
				}
				at, v = at+rapid.IntRange(0, 4).Draw(t, "step"), rapid.IntRange(-3, 3).Draw(t, "value")
				if rapid.IntRange(0, 5).Draw(t, "over?") == 0 {
					at = length + 1
				}
			default:
				if s.Quantity == "on" {
					v = rapid.IntRange(0, 1).Draw(t, "state")
				}
				add(at, id, v)
				if v = rapid.IntRange(-3, 3).Draw(t, "value"); rapid.IntRange(0, 4).Draw(t, "again?") > 0 {
					at += rapid.IntRange(1, 4).Draw(t, "step")
				}
			}
		}
	}
	rank := rapid.Permutation([]int{0, 1, 2, 3, 4, 5, 6}).Draw(t, "order within a moment")
	sort.SliceStable(changes, func(i, j int) bool {
		a, b := changes[i], changes[j]
		return a.At < b.At || a.At == b.At && rank[a.ID] < rank[b.ID]
	})
	trace := newRecord(drawnSignals...)
	for _, c := range changes {
		trace.Put(c)
	}
	trace.Close(signal.Time(length) * grid)
	return trace
}

// value is what a signal has at a moment and just beside it.
type value struct{ before, low, high, after float64 }

// sample reads a held or linear signal from its column. It must have begun.
func sample(trace *signal.Trace, id signal.ID, at signal.Time) value {
	c := trace.Column(id)
	first := sort.Search(len(c.At), func(i int) bool { return c.At[i] >= at })
	next := sort.Search(len(c.At), func(i int) bool { return c.At[i] > at })
	line := func(i int) float64 { // between i-1 and i
		if i == len(c.At) || trace.Signals()[id].Shape == signal.Held {
			return c.Value[i-1]
		}
		return c.Value[i-1] + (c.Value[i]-c.Value[i-1])*float64(at-c.At[i-1])/float64(c.At[i]-c.At[i-1])
	}
	if first == next {
		v := line(first)
		return value{v, v, v, v}
	}
	v := value{before: c.Value[first], low: c.Value[next-1], high: c.Value[next-1], after: c.Value[next-1]}
	if trace.Signals()[id].Shape == signal.Held {
		if first > 0 {
			v.before = c.Value[first-1]
		}
		return v
	}
	for _, x := range c.Value[first:next] {
		v.low, v.high = min(v.low, x), max(v.high, x)
	}
	return v
}

// began is the moment of the mark.
func began(trace *signal.Trace) signal.Time { return trace.Column(0).At[0] }
