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
	r.Declare(signal.Signal{Device: "script", Quantity: Begins, Shape: signal.Event})
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
	Replay(trace, m)
	return m.Verdict()
}

func seconds(s float64) signal.Time { return signal.FromSeconds(s) }

// during is the closed interval between two numbers of seconds.
func during(from, until float64) Interval {
	return Interval{From: seconds(from), Until: seconds(until)}
}

// point is a sample of the reference table.
type point struct{ at, value float64 }

// drawn is a trace of one signal "x.x" through samples, which begins at 0 and is held or straight between them.
func drawn(shape signal.Shape, end float64, points ...point) *signal.Trace {
	r := newRecord(signal.Signal{Device: "x", Quantity: "x", Shape: shape})
	r.Put(signal.Change{})
	for _, p := range points {
		r.Put(signal.Change{At: seconds(p.at), ID: 1, Value: p.value})
	}
	r.Close(seconds(end))
	return r
}

func atLeast(limit float64) Formula { return Holds(Condition{"x.x", AtLeast, limit}) }

// TestMarginsOfReference checks every row of testdata/reference/margins.csv, to the 1e-9 stated there.
func TestMarginsOfReference(t *testing.T) {
	file, err := os.Open("../../testdata/reference/margins.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)

	ramp := drawn(signal.Linear, 6, point{0, 2}, point{4, 0}, point{6, 3})
	zigzag := []point{{0, 3}, {1, 1}, {2, 4}, {3, 2}}
	step := drawn(signal.Held, 2, point{0, 0}, point{1, 5})
	rightOpen := Interval{Until: signal.Second, WithoutUntil: true}
	cases := map[string][]struct {
		trace *signal.Trace
		f     Formula
	}{
		"S1":  {{ramp, Globally(during(1, 5), atLeast(-0.5))}},
		"S2":  {{ramp, Finally(during(0, 3), atLeast(1.9))}},
		"S3":  {{ramp, Finally(during(0, 2), Globally(during(0, 1), atLeast(1)))}},
		"S5a": {{drawn(signal.Held, 3, zigzag...), Finally(during(0.5, 1.5), atLeast(0))}},
		"S5b": {{drawn(signal.Linear, 3, zigzag...), Finally(during(0.5, 1.5), atLeast(0))}},
		"S5c": {{drawn(signal.Held, 3, zigzag...), Globally(during(0.5, 1.5), atLeast(0))},
			{drawn(signal.Linear, 3, zigzag...), Globally(during(0.5, 1.5), atLeast(0))}},
		"S6a": {{step, Finally(during(0, 1), atLeast(3))}},
		"S6b": {{step, Finally(rightOpen, atLeast(3))}},
		"S12": {{drawn(signal.Held, 5, point{0, 1.5}), And(Globally(during(0, 0), atLeast(1)), Finally(during(5, 5), atLeast(1)))},
			{drawn(signal.Linear, 5, point{0, 1.5}), And(Globally(during(0, 0), atLeast(1)), Finally(during(5, 5), atLeast(1)))}},
	}
	seen := 0
	for _, row := range rows[1:] {
		id, robustness := row[0], row[4]
		t.Run(id, func(t *testing.T) {
			switch id {
			case "S8":
				checkParts(t, robustness)
				seen++
				return
			case "S11":
				checkPartial(t, robustness)
				seen++
				return
			}
			want, err := strconv.ParseFloat(robustness, 64)
			require.NoError(t, err)
			require.NotEmpty(t, cases[id], "row %s has no case", id)
			for _, c := range cases[id] {
				v := judgeOf(t, c.trace, Satisfies(c.f))
				assert.InDelta(t, want, v.Margin, 1e-9, row[3])
				assert.Equal(t, want < 0, v.State == Failed, v.Why)
			}
			seen++
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

	p := All(Always(Condition{"tank.level", AtMost, 100 * mm}), Always(Condition{"tank.flow", AtMost, 4 * litrePerMinute}))
	m, err := p.Monitor(Event{}, lookup(r))
	require.NoError(t, err)
	Replay(r, m)
	parts := m.(*Conjunction).Parts()
	level, flow := parts[0].Margin/mm, parts[1].Margin/litrePerMinute
	assert.InDelta(t, 4, level, 1e-9, "mm to spare")
	assert.InDelta(t, 0.5, flow, 1e-9, "L/min to spare")
	assert.InDelta(t, want, min(level, flow), 1e-9, "folded as bare numbers")
	share, ok := m.Verdict().Share()
	assert.True(t, ok)
	assert.InDelta(t, 0.04, share, 1e-9)
	assert.Equal(t, "tank.level", m.Verdict().Signal, "the tightest by share")
	assert.Equal(t, 12*signal.Second, m.Verdict().At)

	together := And(Globally(Interval{Until: signal.Never}, Holds(Condition{"tank.level", AtMost, 100 * mm})),
		Globally(Interval{Until: signal.Never}, Holds(Condition{"tank.flow", AtMost, 4 * litrePerMinute})))
	_, err = Satisfies(together).Monitor(Event{}, lookup(r))
	assert.ErrorContains(t, err, "cannot be folded into one", "a formula over different dimensions")
}

// checkPartial is row S11: the trace ends before the formula is decided.
func checkPartial(t *testing.T, robustness string) {
	require.Equal(t, "[-inf, 0.7]", robustness)
	f := Globally(during(0, 10), atLeast(0))
	for _, shape := range []signal.Shape{signal.Held, signal.Linear} {
		trace := drawn(shape, 5, point{0, 2}, point{3, 0.7}, point{4, 1})
		least, most := boundsOf(t, trace, f)
		assert.Equal(t, math.Inf(-1), least)
		assert.InDelta(t, 0.7, most, 1e-9)
		v := judgeOf(t, trace, Satisfies(f))
		assert.Equal(t, NotExercised, v.State, "undecided")
		assert.InDelta(t, 0.7, v.Margin, 1e-9, "the upper bound")

		trace = drawn(shape, 5, point{0, 2}, point{3, -0.7}, point{4, 1})
		v = judgeOf(t, trace, Satisfies(f))
		assert.Equal(t, Failed, v.State, "the upper bound is below nought: nothing that follows can mend it")
	}
}

// boundsOf is the interval of robustness of a formula.
func boundsOf(t require.TestingT, trace *signal.Trace, f Formula) (least, most float64) {
	m, err := Satisfies(f).Monitor(Event{}, lookup(trace))
	require.NoError(t, err)
	Replay(trace, m)
	j := m.(*monitor).judge.(*satisfaction)
	return j.least, j.most
}
