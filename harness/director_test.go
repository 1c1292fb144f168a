package harness_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/signal"
)

func pressed() *outcome.Event {
	return &outcome.Event{Condition: outcome.Condition{Signal: "button.pressed", Is: outcome.On}}
}

// The button is pressed at 5, 10 and 15 s, and let go a second later.
func TestWhenActsBegin(t *testing.T) {
	for _, c := range []struct {
		name string
		acts []harness.Act
		want []signal.Time
	}{
		{"at a moment of the run", []harness.Act{{Mark: "a", When: end(3 * s)}}, []signal.Time{3 * s}},
		{"after another act", []harness.Act{{Mark: "a", When: end(3 * s)},
			{Mark: "b", When: harness.Moment{Act: 1, Plus: 2 * s}}}, []signal.Time{3 * s, 5 * s}},
		{"on an event", []harness.Act{{Mark: "a", On: pressed()}}, []signal.Time{5 * s}},
		{"on the event that comes after its moment", []harness.Act{{Mark: "a", When: end(6 * s), On: pressed()}},
			[]signal.Time{10 * s}},
		{"some time after an event", []harness.Act{{Mark: "a", On: pressed(), After: 3 * s}}, []signal.Time{8 * s}},
		{"after an act and an event", []harness.Act{{Mark: "a", When: end(7 * s)},
			{Mark: "b", When: harness.Moment{Act: 1}, On: pressed()}}, []signal.Time{7 * s, 10 * s}},
		{"each on its own event", []harness.Act{{Mark: "a", On: pressed()},
			{Mark: "b", When: harness.Moment{Act: 1, Plus: 1}, On: pressed(), After: s}}, []signal.Time{5 * s, 11 * s}},
		{"an event in the last moment of the wait", []harness.Act{{Mark: "a", On: pressed(), Within: 5 * s}},
			[]signal.Time{5 * s}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := newTiny()
			d.site.presses = []signal.Time{5 * s, 6 * s, 10 * s, 11 * s, 15 * s, 16 * s}
			run, err := d.stand().Run(context.Background(), &harness.Script{Acts: c.acts, Begins: end(s),
				End: harness.Moment{Act: len(c.acts), Plus: 4 * s}})
			require.NoError(t, err)
			assert.Equal(t, c.want, run.Acts, "the acts begin at other moments")
			for i, a := range c.acts {
				assert.Equal(t, []signal.Time{c.want[i]}, column(run, "script."+a.Mark).At, "each act leaves its mark")
			}
			assert.Equal(t, s, run.Begins, "end of the Givens")
			assert.Equal(t, []signal.Time{s}, column(run, "script.begins").At)
			assert.Equal(t, c.want[len(c.want)-1]+4*s, run.End, "the run ends after its last act")
		})
	}
}

func TestWindows(t *testing.T) {
	for _, c := range []struct {
		name  string
		turns []fault.Turn
		at    []signal.Time
		value []float64
	}{
		{"one", []fault.Turn{turn(2, s, 3*s)}, []signal.Time{0, 2 * s, 4 * s}, []float64{0, 2, 0}},
		{"to the end", []fault.Turn{turn(2, s, signal.Never)}, []signal.Time{0, 2 * s}, []float64{0, 2}},
		{"overlapping", []fault.Turn{turn(2, 0, 4*s), turn(3, s, 6*s)}, []signal.Time{0, s, 2 * s, 5 * s, 7 * s},
			[]float64{0, 2, 5, 3, 0}},
		{"of no length", []fault.Turn{turn(2, s, s)}, []signal.Time{0}, []float64{0}},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := newTiny()
			run, err := d.stand().Run(context.Background(), &harness.Script{End: end(20 * s),
				Acts: []harness.Act{{Mark: "m", When: end(s), Turns: c.turns}}})
			require.NoError(t, err)
			knob := column(run, "button.knob")
			assert.Equal(t, c.at, knob.At, "the knob is turned at other moments")
			assert.Equal(t, c.value, knob.Value, "the knob is turned to other values")
		})
	}
}

// A window that goes over time takes the knob there evenly, holds it, and lets go at once; it joins with others on the
// way.
func TestGradualWindows(t *testing.T) {
	d := newTiny()
	ramp := turn(2, s, 11*s)
	ramp.Over = 5 * s
	run, err := d.stand().Run(context.Background(), &harness.Script{End: end(20 * s),
		Acts: []harness.Act{{Mark: "m", When: end(s), Turns: []fault.Turn{ramp, turn(3, 4*s, 6*s)}}}})
	require.NoError(t, err)
	id, ok := run.Trace.Find("button.knob")
	require.True(t, ok)
	for at, want := range map[signal.Time]float64{0: 0, 2 * s: 0, 3 * s: 0.4, 5*s - 1: 3 * 0.4, 6 * s: 3 + 1.6,
		7*s - 1: 5, 8 * s: 2, 12*s - 1: 2, 12 * s: 0} {
		assert.InDelta(t, want, run.Trace.At(id, at), 0.021, "the knob at %v", at)
	}
	assert.Equal(t, 0.0, run.Trace.At(id, 15*s), "the knob does not come back to the bit")
	assert.Equal(t, 2.0, run.Trace.At(id, 9*s), "the knob does not come to its value to the bit")
}
