package harness

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/fault"
	"ullage/harness/signal"
)

const s = signal.Second

func runOf(shape signal.Shape, changes ...signal.Change) *Run {
	trace := signal.NewTrace()
	trace.Declare(signal.Signal{Device: "x", Quantity: "y", Shape: shape})
	for _, c := range changes {
		trace.Put(c)
	}
	trace.Close(100 * s)
	return &Run{Trace: trace, End: 100 * s}
}

// Of two records that differ by no more than the tolerance in time, however many edges they have, neither shows a
// difference.
func TestTimesAreComparedWithATolerance(t *testing.T) {
	at := func(t signal.Time, v float64) signal.Change { return signal.Change{At: t, Value: v} }
	const ms = signal.Millisecond
	for _, c := range []struct {
		name   string
		shape  signal.Shape
		a, b   []signal.Change
		differ bool
	}{
		{"the same edge a little later", signal.Held, []signal.Change{at(0, 0), at(10*s, 1)},
			[]signal.Change{at(0, 0), at(10*s+90*ms, 1)}, false},
		{"the same edge much later", signal.Held, []signal.Change{at(0, 0), at(10*s, 1)},
			[]signal.Change{at(0, 0), at(10*s+110*ms, 1)}, true},
		{"an edge that bounces", signal.Held, []signal.Change{at(0, 0), at(10*s, 1), at(10*s+5*ms, 0),
			at(10*s+9*ms, 1)},
			[]signal.Change{at(0, 0), at(10*s, 1)}, false},
		{"a knock that is shorter than the tolerance", signal.Held,
			[]signal.Change{at(0, 0), at(10*s, 1), at(10*s+30*ms, 0)},
			[]signal.Change{at(0, 0)}, true},
		{"another value all along", signal.Held, []signal.Change{at(0, 0)}, []signal.Change{at(0, 1)}, true},
		{"only one is recorded", signal.Held, []signal.Change{at(0, 0)}, nil, true},
		{"neither is recorded", signal.Held, nil, nil, false},
		{"events that come a little later, one of them twice", signal.Event,
			[]signal.Change{at(5*s, 1), at(5*s+20*ms, 1), at(9*s, 2)},
			[]signal.Change{at(5*s+50*ms, 1), at(9*s-50*ms, 2)}, false},
		{"an event of another figure", signal.Event, []signal.Change{at(5*s, 1)}, []signal.Change{at(5*s, 2)}, true},
		{"an event that is missing", signal.Event, []signal.Change{at(5*s, 1), at(7*s, 1)}, []signal.Change{at(5*s, 1)},
			true},
		{"a jump a little later", signal.Linear, []signal.Change{at(0, 0), at(10*s, 0), at(10*s, 1), at(99*s, 1)},
			[]signal.Change{at(0, 0), at(10*s+90*ms, 0), at(10*s+90*ms, 1), at(99*s, 1)}, false},
		{"a spike that is shorter than the tolerance", signal.Linear,
			[]signal.Change{at(0, 1), at(10*s, 1), at(10*s, 3), at(10*s+30*ms, 3), at(10*s+30*ms, 1)},
			[]signal.Change{at(0, 1)}, true},
		{"a level that is another from the beginning", signal.Linear, []signal.Change{at(0, 1)},
			[]signal.Change{at(0, 1.1)}, true},
	} {
		a, b := runOf(c.shape, c.a...), runOf(c.shape, c.b...)
		differs := within(100*ms, 0)
		assert.Equal(t, c.differ, differs(a, b, 0, 0), c.name)
		assert.Equal(t, c.differ, differs(b, a, 0, 0), "%s, the other way round", c.name)
	}
}

// A recording goes through the steps at their moments, however the time is sliced, and records what was recorded.
func TestARecordingIsPlayed(t *testing.T) {
	did := &recording{can: Abilities{Alerts: true}, first: 7, signals: []signal.Signal{{Device: "x", Quantity: "y"}},
		knobs:   []fault.Knob{{Device: "controller", Kind: "controller", Name: "reset", Max: 1}},
		changes: []signal.Change{{ID: 7}, {At: 2 * s, ID: 7, Value: 1}, {At: 3 * s, ID: 7, Value: 2}},
		steps: []step{{at: 2 * s, out: []Pin{{At: 2 * s}}, changes: 2},
			{at: 2 * s, sent: []Frame{{At: 2 * s}}, changes: 2},
			{at: 3 * s, out: []Pin{{At: 3 * s}}, changes: 3}}}
	for _, slice := range []signal.Time{100 * s, s, 700 * signal.Millisecond} {
		r, trace, panel := &replay{recording: did}, signal.NewTrace(), fault.NewPanel()
		require.NoError(t, r.Open(t.Context(), trace, panel, Draw{}))
		require.NoError(t, panel.Open(0, "controller", "reset", 1), "a knob that the controller had is missing")
		var outs, frames []signal.Time
		for now, calls := signal.Time(0), 0; now < 5*s; calls++ {
			require.Less(t, calls, 100, "the recording gets no further than %v", now)
			reached, out, sent, err := r.Advance(t.Context(), min(now+slice, 5*s), nil, nil)
			require.NoError(t, err)
			for range out {
				outs = append(outs, reached)
			}
			for range sent {
				frames = append(frames, reached)
			}
			now = reached
		}
		assert.Equal(t, []signal.Time{2 * s, 3 * s}, outs, "slices of %v", slice)
		assert.Equal(t, []signal.Time{2 * s}, frames, "slices of %v", slice)
		assert.Equal(t, []signal.Time{0, 2 * s, 3 * s}, trace.Column(0).At, "slices of %v", slice)
		assert.True(t, r.Can()[Alerts])
		require.NoError(t, r.Close())
		_, _, _, err := r.Advance(t.Context(), 6*s, nil, nil)
		assert.Error(t, err, "a closed recording goes on")
	}
}
