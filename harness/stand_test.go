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

const s = signal.Second

func column(run *harness.Run, name string) signal.Column {
	id, ok := run.Trace.Find(name)
	if !ok {
		return signal.Column{}
	}
	return run.Trace.Column(id)
}

// At one moment: script and faults, site, network, controller, until it is quiet. The controller runs alone until it
// does something, and nobody goes past that.
func TestOrderAtOneMoment(t *testing.T) {
	d := newTiny()
	d.site.presses = []signal.Time{5 * s}
	d.controller.publish = true
	script := &harness.Script{End: end(10 * s),
		Acts: []harness.Act{{Mark: "turned", When: end(5 * s), Turns: []fault.Turn{turn(0, 0, signal.Never)}}}}
	run, err := d.stand().Run(context.Background(), script)
	require.NoError(t, err)
	assert.Equal(t, []string{
		"site 00:00:00", "network 00:00:00", "controller 00:00:00 to 00:00:05: 0 pins, 0 frames",
		"knob 0 at 00:00:05", "site 00:00:05", "network 00:00:05", "controller 00:00:05 to 00:00:10: 1 pins, 0 frames",
		"site 00:00:05", "network 00:00:05", "controller 00:00:05 to 00:00:06: 0 pins, 0 frames",
		"site 00:00:06", "network 00:00:06", "controller 00:00:06 to 00:00:10: 0 pins, 1 frames",
		"site 00:00:10", "network 00:00:10",
	}, d.lines, "the parts are called in another order")
	assert.Equal(t, 10*s, run.End)
	assert.Equal(t, []signal.Time{0, 5 * s}, column(run, "lamp.lit").At,
		"the lamp lights in the moment in which the button is pressed")
}

func TestControllerStopsAtItsFirstOutput(t *testing.T) {
	d := newTiny()
	d.controller.own = []signal.Time{2 * s, 2 * s, 3*s + 1}
	run, err := d.stand().Run(context.Background(), &harness.Script{End: end(4 * s)})
	require.NoError(t, err)
	c := column(run, "lamp.lit")
	assert.Equal(t, []signal.Time{0, 2 * s, 2 * s, 3*s + 1}, c.At, "every output reaches the site at its own moment")
	assert.Equal(t, []float64{0, 1, 0, 1}, c.Value)
	terminal := column(run, "lamp.terminal")
	assert.Equal(t, []float64{0, 12, 0, 12}, terminal.Value, "what passes at the output, from its safe state on")
}

// What happens in the last moment still happens, and its answers too.
func TestLastMomentEndsQuiet(t *testing.T) {
	d := newTiny()
	d.site.presses = []signal.Time{4 * s}
	run, err := d.stand().Run(context.Background(), &harness.Script{End: end(4 * s)})
	require.NoError(t, err)
	assert.Equal(t, 1.0, run.Trace.At(mustFind(t, run, "lamp.lit"), 4*s),
		"the lamp must light although the run ends in that moment")
}

func mustFind(t *testing.T, run *harness.Run, name string) signal.ID {
	id, ok := run.Trace.Find(name)
	require.True(t, ok, "nobody records %s", name)
	return id
}

func TestRunsThatBreakOff(t *testing.T) {
	stopped, cancel := context.WithCancel(context.Background())
	cancel()
	for _, c := range []struct {
		name    string
		ctx     context.Context
		set     func(*tiny)
		script  harness.Script
		message string
	}{
		{"two parts that answer each other", context.Background(),
			func(d *tiny) {
				d.site.answer, d.controller.ring, d.site.presses = true, true,
					[]signal.Time{s}
			}, harness.Script{End: end(9 * s)},
			"at 00:00:01: no quiet after 64 rounds; still changing: button, lamp"},
		{"a controller that goes back", context.Background(), func(d *tiny) { d.controller.lie = -10 * s },
			harness.Script{End: end(9 * s)},
			"controller: was at 00:00:00, was to run until 00:00:09 at the most, and says that it reached -00:00:01"},
		{"a controller that looks ahead", context.Background(), func(d *tiny) { d.controller.lie = s },
			harness.Script{End: end(9 * s)},
			"controller: was at 00:00:00, was to run until 00:00:09 at the most, and says that it reached 00:00:10"},
		{"a controller that fails", context.Background(),
			func(d *tiny) { d.controller.fail = errors.New("it is gone") }, harness.Script{End: end(9 * s)},
			"controller at 00:00:00: it is gone"},
		{"somebody stops the run", stopped, func(*tiny) {}, harness.Script{End: end(9 * s)},
			"stopped at 00:00:00: context canceled"},
		{"a script without an end that comes", context.Background(), func(*tiny) {},
			harness.Script{End: harness.Moment{Act: 1}, Acts: []harness.Act{{Text: "press", Mark: "m",
				On: &outcome.Event{Condition: outcome.Condition{Signal: "button.pressed", Is: outcome.On}}}}},
			"at 00:00:00: the script waits for something and nothing will happen any more"},
		{"an event that does not come in time", context.Background(), func(*tiny) {},
			harness.Script{End: harness.Moment{Act: 1},
				Acts: []harness.Act{{Text: "it is pressed", Mark: "m", Within: 3 * s,
					On: &outcome.Event{Condition: outcome.Condition{Signal: "button.pressed", Is: outcome.On}}}}},
			`"it is pressed" waited 00:00:03 for button.pressed and it did not happen`},
		{"a knob that does not go so far", context.Background(), func(*tiny) {},
			harness.Script{End: end(9 * s), Acts: []harness.Act{{Mark: "m", Turns: []fault.Turn{turn(10, 0, s)}}}},
			`knob "knob" of "button" takes 0 to 9, not 10`},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := newTiny()
			c.set(d)
			run, err := d.stand().Run(c.ctx, &c.script)
			require.EqualError(t, err, c.message)
			require.NotNil(t, run, "what was recorded until then must be kept")
			assert.NotEmpty(t, column(run, "lamp.lit").At, "what was recorded until then must be kept")
			assert.Positive(t, d.site.closed, "the site must be closed")
			assert.Equal(t, 1, d.controller.closed, "the controller must be closed")
		})
	}
}

func TestCannotRealise(t *testing.T) {
	for _, c := range []struct {
		name, message string
		script        harness.Script
	}{
		{"an ability that the controller lacks", "this controller does not offer: lock-out",
			harness.Script{Needs: []harness.Ability{harness.Alerts, harness.LockOut}}},
		{"a knob that the stand lacks",
			`cannot realise "it rains": the button "button" has no knob "rain" on this stand`,
			harness.Script{Acts: []harness.Act{{Text: "it rains", Mark: "rain",
				Turns: []fault.Turn{{Device: "button", Knob: "rain"}}}}}},
		{"what the controller lets nobody turn", `cannot realise "it hangs": this controller offers no knob "hang"`,
			harness.Script{Acts: []harness.Act{{Text: "it hangs", Mark: "hangs",
				Turns: []fault.Turn{{Device: "controller", Knob: "hang"}}}}}},
		{"what the controller does not record",
			`this controller does not record controller.filling, which "a fill begins" waits for`,
			harness.Script{Acts: []harness.Act{{Text: "a fill begins", Mark: "fills",
				On: &outcome.Event{Condition: outcome.Condition{Signal: "controller.filling"}}}}}},
		{"an event that nobody records", `nothing on this stand records tank.level, which "the tank is full" waits for`,
			harness.Script{Acts: []harness.Act{{Text: "the tank is full", Mark: "full",
				On: &outcome.Event{Condition: outcome.Condition{Signal: "tank.level"}}}}}},
	} {
		d := newTiny()
		run, err := d.stand().Run(context.Background(), &c.script)
		var cannot *harness.CannotError
		require.ErrorAs(t, err, &cannot, c.name)
		assert.Equal(t, c.message, cannot.Reason)
		assert.Nil(t, run)
		assert.Empty(t, d.lines, "%s: nothing may move", c.name)
		assert.Positive(t, d.controller.closed, "%s: the controller must be closed", c.name)
	}
}

// ending is a sink that ends a context at the first change of a signal.
type ending struct {
	of     signal.ID
	cancel context.CancelCauseFunc
	cause  error
	names  []string
	closed signal.Time
}

func (e *ending) Begin(signals []signal.Signal) {
	for i, s := range signals {
		e.names = append(e.names, s.Name())
		if s.Name() == "lamp.lit" {
			e.of = signal.ID(i)
		}
	}
}

func (e *ending) Put(c signal.Change) {
	if c.ID == e.of && c.At > 0 {
		e.cancel(e.cause)
	}
}

func (e *ending) Close(end signal.Time) { e.closed = end }

// A run stops in the turn in which its context ends, whatever is left of its hours, and tells whoever watches it.
func TestStopsWithinOneTurn(t *testing.T) {
	d := newTiny()
	d.controller.own = []signal.Time{2 * s, 3 * s}
	ctx, cancel := context.WithCancelCause(context.Background())
	watch := &ending{cancel: cancel, cause: errors.New("enough")}
	stand := d.stand()
	stand.Watch(watch)
	run, err := stand.Run(ctx, &harness.Script{End: end(9 * signal.Hour)})
	var stopped *harness.StoppedError
	require.ErrorAs(t, err, &stopped)
	assert.ErrorIs(t, err, watch.cause, "the cause of the end must be returned")
	assert.Equal(t, []signal.Time{0, 2 * s}, column(run, "lamp.lit").At,
		"what came until then must be kept, and nothing may come after it")
	assert.Equal(t, 3*s, watch.closed, "the turn that was under way ends, and the sinks with it")
	assert.Contains(t, watch.names, "button.pressed", "a sink must receive what the numbers mean")
}

// What a run breaks off for can be branched on.
func TestErrorsOfRunsAreTyped(t *testing.T) {
	waits := harness.Script{End: harness.Moment{Act: 1},
		Acts: []harness.Act{{Text: "it is pressed", Mark: "m", On: pressed(), Within: 3 * s}}}
	_, err := newTiny().stand().Run(context.Background(), &waits)
	var inVain *harness.DidNotHappenError
	require.ErrorAs(t, err, &inVain)
	assert.Equal(t, harness.DidNotHappenError{Act: "it is pressed", Signal: "button.pressed", Waited: 3 * s}, *inVain)

	d := newTiny()
	d.site.answer, d.controller.ring, d.site.presses = true, true, []signal.Time{s}
	_, err = d.stand().Run(context.Background(), &harness.Script{End: end(9 * s)})
	var ringing *harness.NotQuietError
	require.ErrorAs(t, err, &ringing)
	assert.Equal(t, harness.NotQuietError{At: s, Rounds: 64, Changing: []string{"button", "lamp"}}, *ringing)

	d = newTiny()
	d.controller.fail = errors.New("it is gone")
	_, err = d.stand().Run(context.Background(), &harness.Script{End: end(9 * s)})
	var failed *harness.PartError
	require.ErrorAs(t, err, &failed)
	assert.Equal(t, "controller", failed.Part)
	assert.ErrorIs(t, err, d.controller.fail)
}
