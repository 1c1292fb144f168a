package controller

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// event is something that happens to a controller.
type event struct {
	at signal.Time
	do func(*rig)
}

var contacts = []string{"tank-low", "tank-high", "tank-spill", "meter"}

// turnable are the knobs of the firmware and the clock, each with a value.
var turnable = []struct {
	name  string
	value float64
}{{"hang", 1}, {"watchdog", 0}, {"pins float", 0.3}, {"update", 20}, {"settings torn", 1}, {"settings lost", 1}, {"longest run", 40},
	{"clock step", -3600}, {"clock step", 7200}, {"clock unset", 1}, {"counter", 1<<32 - 60e3}}

// happenings draws what happens to a controller over some hours: clusters of edges, slow ramps, cuts, commands.
func happenings(t *rapid.T) []event {
	var list []event
	at := signal.Time(0)
	n := rapid.IntRange(1, 40).Draw(t, "events")
	for range n {
		span := rapid.SampledFrom([]signal.Time{0, signal.Millisecond, signal.Second, signal.Minute, 20 * signal.Minute}).
			Draw(t, "span")
		at += rapid.OneOf(
			rapid.Map(rapid.Int64Range(0, int64(span)), func(ns int64) signal.Time { return signal.Time(ns) }),
			rapid.SampledFrom(
				[]signal.Time{500 * signal.Millisecond, signal.Second, 1500 * signal.Millisecond, signal.Minute},
			),
		).Draw(t, "after")
		list = append(list, event{at, happening(t)})
	}
	return list
}

func happening(t *rapid.T) func(*rig) {
	volts := rapid.Float64Range(0, 13).Draw(t, "volts")
	slope := rapid.SampledFrom([]float64{0, 1, -1, 0.01, -0.003, 1e-6}).Draw(t, "slope")
	name := rapid.SampledFrom(contacts).Draw(t, "contact")
	operated := rapid.Bool().Draw(t, "operated")
	zone := rapid.SampledFrom([]string{"sprays", "drip", "top-up"}).Draw(t, "zone")
	knob := rapid.SampledFrom(turnable).Draw(t, "knob")
	switch rapid.IntRange(0, 13).Draw(t, "what") {
	case 0:
		return func(r *rig) { r.pin("power", volts, slope, 0.1) }
	case 1:
		return func(r *rig) { r.power(12) }
	case 2:
		return func(r *rig) { r.pin("bed-probe", volts/4, slope/100, 1e3) }
	case 3:
		return func(r *rig) { r.open("bed-probe") }
	case 4:
		return func(r *rig) { r.pin(name, volts/4, slope, 1e3) }
	case 5:
		return func(r *rig) { r.command(harness.TopicStart, zone, volts*100) }
	case 6:
		return func(r *rig) { r.command(harness.TopicStop, zone, 0) }
	case 7:
		return func(r *rig) { r.network = "answers" }
	case 8:
		return func(r *rig) { r.happen("network lost") }
	case 9:
		return func(r *rig) { r.network = "silent" }
	case 10:
		return func(r *rig) { r.happen("reset") }
	case 11:
		return func(r *rig) { r.turn(knob.name, knob.value) }
	case 12:
		return func(r *rig) {
			r.turn(knob.name, knob.value)
			require.NoError(r.t, r.panel.Close(r.now, "controller", knob.name, knob.value))
		}
	}
	return func(r *rig) { r.operate(name, operated) }
}

// run plays events on a new controller until some time after the last.
func run(t testing.TB, events []event, prepare func(*rig), options ...Option) *rig {
	return runOn(t, ternLane, events, prepare, options...)
}

func runOn(
	t testing.TB,
	wired func() (sitefile.Controller, []harness.Terminal),
	events []event,
	prepare func(*rig),
	options ...Option,
) *rig {
	spec, terminals := wired()
	r := newRig(t, spec, terminals, options...)
	prepare(r)
	for _, e := range events {
		r.until(e.at)
		e.do(r)
	}
	r.until(r.now + 5*signal.Minute)
	return r
}

// recorded is everything that a run has put into its trace.
func recorded(r *rig) []signal.Column {
	var columns []signal.Column
	for id := range r.trace.Signals() {
		columns = append(columns, r.trace.Column(signal.ID(id)))
	}
	return columns
}

func variant(t *rapid.T) []Option {
	return rapid.SampledFrom([][]Option{nil, {Polling(100 * signal.Millisecond)}, {Without(harness.ContactFilters)},
		{
			Without(harness.SafeBoot, harness.AlertSpacing),
		}, {Without(harness.LongestRun, harness.OfflineMemory)}}).Draw(t, "variant")
}

// cutUp stops a rig here and there before it need.
func cutUp(r *rig, seed uint64) {
	draw, n := harness.NewDraw(seed, "slices"), uint64(0)
	r.slice = func(now, to signal.Time) signal.Time {
		n++
		switch u := draw.Uniform("rig", "slice", n); {
		case u < 0.05:
			return now
		case u < 0.3:
			return min(to, now+signal.Time(u*1e9))
		case u < 0.5:
			return min(to, max(now, r.c.next()))
		case u < 0.6:
			return now + signal.Time(u*float64(to-now))
		}
		return to
	}
}

// Where Advance is told to stop changes nothing.
func TestSlicing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		events, options, seed := happenings(rt), variant(rt), rapid.Uint64().Draw(rt, "seed")
		whole := run(t, events, func(*rig) {}, options...)
		sliced := run(t, events, func(r *rig) { cutUp(r, seed) }, options...)
		require.Equal(rt, whole.log.String(), sliced.log.String(), "outputs and frames depend on where Advance stops")
		require.Equal(rt, recorded(whole), recorded(sliced), "the trace depends on where Advance stops")
	})
}

// A rule that is stepped although it is not due does nothing: no wake comes late, and none is forgotten.
func TestWakesMissNothing(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		events, options, seed := happenings(rt), variant(rt), rapid.Uint64().Draw(rt, "seed")
		due := run(t, events, func(*rig) {}, options...)
		always := run(t, events, func(r *rig) {
			cutUp(r, seed)
			r.watch = func() { r.c.changed = true }
		}, options...)
		require.Equal(rt, due.log.String(), always.log.String(), "a rule had something to do before its wake")
		require.Equal(rt, recorded(due), recorded(always), "a rule had something to record before its wake")
	})
}

// An output that the cut-off shuts is never on while its contact is operated, whatever else happens.
func TestCutOffIsAbsolute(t *testing.T) {
	checked := 0
	rapid.Check(t, func(rt *rapid.T) {
		run(t, happenings(rt), func(r *rig) {
			spill := r.terminal("tank-spill") // normally closed: high when it is operated
			r.watch = func() {
				r.rest()
				if r.c.board.digital.Volts(r.c.board.pins[spill], r.now) > r.c.board.digital.High &&
					r.c.power.running() {
					checked++
					require.False(
						rt,
						r.isOn("top-up") || r.isOn("master"),
						"on at %v although tank-spill is operated",
						r.now,
					)
				}
			}
		})
	})
	if !testing.Short() { // the few draws of -short may all miss it
		require.Positive(t, checked, "no run operated the cut-off")
	}
}

// No output is on without enough power, or during the boot.
func TestSafeWithoutControlLoop(t *testing.T) {
	checked := 0
	rapid.Check(t, func(rt *rapid.T) {
		run(t, happenings(rt), func(r *rig) {
			r.watch = func() {
				if r.c.power.running() || r.c.power.phase == hung || r.now < r.c.firmware.floatsUntil {
					return
				}
				checked++
				for _, o := range r.c.outputs.list {
					require.False(rt, r.isOn(o.device), "%s is on at %v without a control loop", o.device, r.now)
				}
			}
		})
	})
	require.Positive(t, checked, "no run lost its power")
}

// What is due at a moment is done in one go: after that the next wake lies ahead.
func TestComesToRest(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		run(t, happenings(rt), func(r *rig) {
			r.watch = func() {
				r.rest()
				require.Greater(rt, r.c.next(), r.now, "wakes for ever at %v", r.now)
			}
		}, variant(rt)...)
	})
}

// Two runs of the same are the same.
func TestSameAgain(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		events := happenings(rt)
		a, b := run(t, events, func(*rig) {}), run(t, events, func(*rig) {})
		require.Equal(rt, a.log.String(), b.log.String())
		require.Equal(rt, recorded(a), recorded(b))
	})
}

// Alerts of one kind are sent no closer together than their spacing, also those that were kept without a network.
func TestAlertSpacing(t *testing.T) {
	sent := 0
	rapid.Check(t, func(rt *rapid.T) {
		r := run(t, happenings(rt), func(*rig) {})
		for id, s := range r.trace.Signals() {
			if !strings.HasPrefix(s.Quantity, "alert ") {
				continue
			}
			at := r.trace.Column(signal.ID(id)).At
			sent += len(at)
			for i := 1; i < len(at); i++ {
				require.GreaterOrEqual(rt, at[i]-at[i-1], signal.Hour, "%s at %v and %v", s.Name(), at[i-1], at[i])
			}
		}
	})
	require.Positive(t, sent, "no run sent an alert")
}
