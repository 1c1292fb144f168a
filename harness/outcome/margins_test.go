package outcome

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// newRecord is a trace with the mark at which observation starts as number 0, and these signals from number 1 on.
func newRecord(signals ...signal.Signal) *signal.Trace {
	r := signal.NewTrace()
	r.Declare(signal.Script.Begins())
	for _, s := range signals {
		r.Declare(s)
	}
	return r
}

// lookup finds the signals of a trace.
func lookup(t *signal.Trace) Lookup {
	return func(name string) (signal.ID, signal.Signal, bool) {
		id, ok := t.Find(name)
		if !ok {
			return 0, signal.Signal{}, false
		}
		return id, t.Signals()[id], true
	}
}

// judgeOf runs a monitor over a closed trace.
func judgeOf(t require.TestingT, trace *signal.Trace, p Property) Verdict {
	m, err := p.Monitor(Event{}, lookup(trace))
	require.NoError(t, err)
	replay(trace, m)
	return m.Verdict()
}

func seconds(s float64) signal.Time { return signal.FromSeconds(s) }

// point is a sample of the reference table.
type point struct{ at, value float64 }

// drawn is a trace of one signal "x.x" through samples, held or straight between them, that is observed over an
// interval: it ends with the interval, and the mark stands at its beginning. An open end is a nanosecond earlier.
func drawn(shape signal.Shape, over interval, points ...point) *signal.Trace {
	end := seconds(over.to)
	if over.open {
		end--
	}
	r := newRecord(signal.Signal{Device: "x", Quantity: "x", Shape: shape})
	mark := signal.Change{At: seconds(over.from)}
	for i, p := range points {
		c := signal.Change{At: seconds(p.at), ID: 1, Value: p.value}
		if c.At > end {
			if before := points[i-1]; shape == signal.Linear {
				p.value = before.value + (p.value-before.value)*(end.Seconds()-before.at)/(p.at-before.at)
			} else {
				p.value = before.value
			}
			c.At, c.Value = end, p.value
		}
		if mark.At <= c.At && len(r.Column(0).At) == 0 {
			r.Put(mark)
		}
		r.Put(c)
		if c.At == end {
			break
		}
	}
	if len(r.Column(0).At) == 0 {
		r.Put(mark)
	}
	r.Close(end)
	return r
}

// interval is the moments between two numbers of seconds; open leaves out the last.
type interval struct {
	from, to float64
	open     bool
}

// statement is what a row says of the signal over an interval.
type statement func(t *testing.T, trace *signal.Trace, limit float64) (margin float64)

// globally is G: at every moment at least the limit.
func globally(t *testing.T, trace *signal.Trace, limit float64) float64 {
	return judgeOf(t, trace, Always(Condition{"x.x", AtLeast, limit})).Margin
}

// finally is F: at some moment at least the limit, which is that it is not below it at every moment.
func finally(t *testing.T, trace *signal.Trace, limit float64) float64 {
	return -judgeOf(t, trace, Never(Condition{"x.x", AtLeast, limit})).Margin
}

// lastingFor is a nested formula: F of G over a window. It says that the signal is at least the limit for the window at
// a stretch, within an interval that is longer by the window. That has a margin in time; its robustness is how far the
// limit can be shifted before the verdict changes (Fainekos and Pappas 2009, definition 23), and is found by halving.
func lastingFor(window float64) statement {
	return func(t *testing.T, trace *signal.Trace, limit float64) float64 {
		holds, fails := limit-10, limit+10
		for range 60 {
			middle := (holds + fails) / 2
			if judgeOf(t, trace, LongestStretch(Condition{"x.x", AtLeast, middle}, seconds(window))).Margin <= 0 {
				holds = middle
			} else {
				fails = middle
			}
		}
		return holds - limit
	}
}

// TestMarginsOfReference checks every row of testdata/reference/margins.csv, to the 1e-9 stated there, with the
// properties that phrases are made of. A conjunction has several parts, each with a margin of its own; the table's is
// the smallest.
func TestMarginsOfReference(t *testing.T) {
	file, err := os.Open("../../testdata/reference/margins.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)

	type part struct {
		shape  signal.Shape
		points []point
		over   interval
		says   statement
		limit  float64
	}
	ramp := []point{{0, 2}, {4, 0}, {6, 3}}
	zigzag := []point{{0, 3}, {1, 1}, {2, 4}, {3, 2}}
	step := []point{{0, 0}, {1, 5}, {2, 5}}
	flat := []point{{0, 1.5}, {6, 1.5}}
	const held, linear = signal.Held, signal.Linear
	cases := map[string][]part{
		"S1":  {{linear, ramp, interval{from: 1, to: 5}, globally, -0.5}},
		"S2":  {{linear, ramp, interval{to: 3}, finally, 1.9}},
		"S3":  {{linear, ramp, interval{to: 2 + 1}, lastingFor(1), 1}},
		"S5a": {{held, zigzag, interval{from: 0.5, to: 1.5}, finally, 0}},
		"S5b": {{linear, zigzag, interval{from: 0.5, to: 1.5}, finally, 0}},
		"S5c": {{held, zigzag, interval{from: 0.5, to: 1.5}, globally, 0},
			{linear, zigzag, interval{from: 0.5, to: 1.5}, globally, 0}},
		"S6a": {{held, step, interval{to: 1}, finally, 3}},
		"S6b": {{held, step, interval{to: 1, open: true}, finally, 3}},
		"S12": {{held, flat, interval{}, globally, 1}, {held, flat, interval{from: 5, to: 5}, finally, 1},
			{linear, flat, interval{}, globally, 1}, {linear, flat, interval{from: 5, to: 5}, finally, 1}},
	}
	seen := 0
	for _, row := range rows[1:] {
		id, robustness := row[0], row[4]
		t.Run(id, func(t *testing.T) {
			seen++
			switch id {
			case "S8":
				checkParts(t, robustness)
				return
			case "S11":
				checkPartial(t, robustness)
				return
			}
			want, err := strconv.ParseFloat(robustness, 64)
			require.NoError(t, err)
			require.NotEmpty(t, cases[id], "row %s has no case", id)
			least := math.Inf(1)
			for _, p := range cases[id] {
				least = min(least, p.says(t, drawn(p.shape, p.over, p.points...), p.limit))
			}
			assert.InDelta(t, want, least, 1e-9, row[3])
		})
	}
	assert.Equal(t, 11, seen, "rows of the table")
}

// checkParts is row S8: a level in mm and a flow in L/min are parts that keep their own margins. Folding them as bare
// numbers gives the flow's; ranked by share, as it must be, the level is the tightest.
func checkParts(t *testing.T, robustness string) {
	want, err := strconv.ParseFloat(robustness, 64)
	require.NoError(t, err)
	const mm, litrePerMinute = 1e-3, 1e-3 / 60
	r := newRecord(signal.Signal{Device: "tank", Quantity: "level", Dim: quantity.Length, Shape: signal.Linear},
		signal.Signal{Device: "tank", Quantity: "flow", Dim: quantity.Flow})
	r.Put(signal.Change{})
	r.Put(signal.Change{ID: 1, Value: 40 * mm})
	r.Put(signal.Change{ID: 2, Value: 3.5 * litrePerMinute})
	for _, p := range []point{{10, 90}, {12, 96}, {20, 96}} {
		r.Put(signal.Change{At: seconds(p.at), ID: 1, Value: p.value * mm})
	}
	r.Close(20 * signal.Second)

	level := judgeOf(t, r, Always(Condition{"tank.level", AtMost, 100 * mm}))
	flow := judgeOf(t, r, Always(Condition{"tank.flow", AtMost, 4 * litrePerMinute}))
	assert.InDelta(t, 4, level.Margin/mm, 1e-9, "margin in mm")
	assert.InDelta(t, 0.5, flow.Margin/litrePerMinute, 1e-9, "margin in L/min")
	assert.InDelta(t, want, min(level.Margin/mm, flow.Margin/litrePerMinute), 1e-9, "folded as bare numbers")
	share, ok := level.Share()
	assert.True(t, ok)
	assert.InDelta(t, 0.04, share, 1e-9)
	other, _ := flow.Share()
	assert.InDelta(t, 0.125, other, 1e-9, "the level is the tightest by share")
	assert.Equal(t, 12*signal.Second, level.At)
}

// checkPartial is row S11: the trace ends before the statement is decided. What is missing can be anything: the margins
// of the best and of the worst end are the interval of the robustness.
func checkPartial(t *testing.T, robustness string) {
	require.Equal(t, "[-inf, 0.7]", robustness)
	for _, shape := range []signal.Shape{signal.Held, signal.Linear} {
		known := []point{{0, 2}, {3, 0.7}, {4, 1}, {5, 1}}
		for rest, want := range map[float64]float64{math.Inf(-1): math.Inf(-1), math.Inf(1): 0.7} {
			trace := drawn(shape, interval{to: 10}, append(known, point{5.001, rest}, point{10, rest})...)
			if math.IsInf(want, 0) {
				v := judgeOf(t, trace, Always(Condition{"x.x", AtLeast, 0}))
				assert.Equal(t, Failed, v.State)
				assert.True(t, v.NoMargin, "beyond every limit there is nothing to measure")
			} else {
				assert.InDelta(t, want, globally(t, trace, 0), 1e-9)
			}
		}
	}
}
