package harness_test

import (
	"context"
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/outcome"
	"ullage/harness/signal"
)

func condition(name string, is outcome.Comparison) outcome.Condition {
	return outcome.Condition{Signal: name, Is: is}
}

// prove runs a script on tiny stands on which the button is pressed from 5 s to 8 s, and the knob takes its wire away.
func prove(script harness.Script) *harness.Result {
	script.End = end(20 * s)
	return harness.ClosedLoop{}.Prove(context.Background(), func(context.Context, *harness.Script) (*harness.Stand,
		error) {
		d := newTiny()
		d.site.presses = []signal.Time{5 * s, 8 * s}
		return d.stand(), nil
	}, &script)
}

func TestVerdictsOfARun(t *testing.T) {
	broken := []harness.Act{{Text: "the wire breaks", Mark: "broken", Turns: []fault.Turn{turn(1, 0, signal.Never)}}}
	for _, c := range []struct {
		name     string
		acts     []harness.Act
		property outcome.Property
		state    outcome.State
	}{
		{"the fault shows, and the outcome holds", broken, outcome.Never(condition("lamp.lit", outcome.On)),
			outcome.Held},
		{"the fault shows, and the outcome fails", broken, outcome.AtLeastTimes(1,
			outcome.Event{Condition: condition("lamp.lit", outcome.On)}), outcome.Failed},
		{"the fault shows neither at a terminal nor at what is looked at",
			[]harness.Act{{Text: "the wire breaks when nobody presses any more", Mark: "late",
				When: end(9 * s), Turns: []fault.Turn{turn(1, 0,
					signal.Never)}}}, outcome.AtLeastTimes(1, outcome.Event{Condition: condition("lamp.lit", outcome.On)}), outcome.NotExercised},
		{"it shows at what is looked at",
			[]harness.Act{{Mark: "late", When: end(9 * s), Turns: []fault.Turn{turn(1, 0, signal.Never)}}},
			outcome.AtLeastTimes(1, outcome.Event{Condition: condition("button.knob", outcome.On)}), outcome.Held},
		{"it shows at a terminal, and not at what is looked at", broken, outcome.AtLeastTimes(1,
			outcome.Event{Condition: condition("button.pressed", outcome.On)}), outcome.NotExercised},
		{"no fault: the twin is the stand with its outputs cut", nil,
			outcome.AtLeastTimes(1, outcome.Event{Condition: condition("lamp.lit", outcome.On)}), outcome.Held},
		{"no fault, and the controller changes nothing that is looked at", nil,
			outcome.AtLeastTimes(1, outcome.Event{Condition: condition("button.pressed",
				outcome.On)}), outcome.NotExercised},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := prove(harness.Script{Acts: c.acts, Outcomes: []outcome.Outcome{{Text: c.name, Property: c.property}}})
			require.NoError(t, r.Err)
			require.Len(t, r.Verdicts, 1)
			assert.Equal(t, c.state.String(), r.Verdicts[0].State.String(), "%s", r.Verdicts[0].Why)
			assert.Equal(t, c.state, r.Worst())
			if c.state != outcome.Held {
				assert.NotEmpty(t, r.Verdicts[0].Why, "the verdict must say why")
			}
		})
	}
}

// All outcomes are reported, also behind one that failed.
func TestEveryOutcomeHasItsVerdict(t *testing.T) {
	r := prove(harness.Script{
		Acts: []harness.Act{{Mark: "broken", Turns: []fault.Turn{turn(1, 0, signal.Never)}}},
		Outcomes: []outcome.Outcome{{Property: outcome.AtLeastTimes(1,
			outcome.Event{Condition: condition("lamp.lit", outcome.On)})},
			{Property: outcome.Never(condition("lamp.lit", outcome.On))}}})
	var states []outcome.State
	for _, v := range r.Verdicts {
		states = append(states, v.State)
	}
	assert.Equal(t, []outcome.State{outcome.Failed, outcome.Held}, states)
	assert.Equal(t, outcome.Failed, r.Worst(), "the worst verdict decides")
}

func TestScenariosThatAreNotRun(t *testing.T) {
	one := []outcome.Outcome{{Property: outcome.Never(condition("lamp.lit", outcome.On))}}
	r := prove(harness.Script{Needs: []harness.Ability{harness.CutOff}, Outcomes: one})
	assert.Equal(t, outcome.NotRun, r.Worst(), "a controller that lacks an ability is no failure")
	assert.Equal(t, "this controller does not offer: cut-off", r.Verdicts[0].Why)
	r = prove(harness.Script{Outcomes: []outcome.Outcome{{Text: "the tank never spills",
		Property: outcome.Never(condition("tank.spill", outcome.On))}}})
	assert.Equal(t, outcome.NotRun, r.Worst(), "a stand that records less is no failure of the controller")
	assert.Equal(t, `nothing on this stand records tank.spill, which "the tank never spills" looks at`,
		r.Verdicts[0].Why)
	r = harness.ClosedLoop{}.Prove(context.Background(), func(context.Context, *harness.Script) (*harness.Stand,
		error) {
		return nil, errors.New("no such site")
	},
		&harness.Script{Outcomes: one})
	assert.Equal(t, outcome.Broken, r.Worst())
	assert.EqualError(t, r.Err, "no such site")
	assert.Equal(t, outcome.Broken, prove(harness.Script{}).Worst(), "a scenario without outcomes proves nothing")
}
