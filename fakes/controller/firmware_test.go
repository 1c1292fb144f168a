package controller

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/signal"
)

// filling is Tern Lane with a fill under way since two seconds after its boot.
func filling(t *testing.T, options ...Option) *rig {
	spec, terminals := ternLane()
	spec.Settings.FlowAlarms = nil
	r := newRig(t, spec, terminals, options...)
	r.operate("tank-low", true)
	r.until(signal.Minute)
	require.True(t, r.isOn("top-up"), "the fill has not begun")
	return r
}

func (r *rig) turn(knob string, value float64) {
	require.NoError(r.t, r.panel.Open(r.now, "controller", knob, value))
}

func (r *rig) alerted(name string) int {
	id, ok := r.trace.Find("controller.alert " + name)
	require.True(r.t, ok)
	return len(r.trace.Column(id).At)
}

// disturbed is how often something from within has met the firmware.
func (r *rig) disturbed() int {
	id, ok := r.trace.Find(signal.Controller.InternalFault().Name())
	require.True(r.t, ok)
	for _, v := range r.trace.Column(id).Value {
		require.Equal(r.t, 1.0, v, "the event has another value than an event has")
	}
	return len(r.trace.Column(id).At)
}

func TestAHangIsEndedByTheWatchdog(t *testing.T) {
	r := filling(t)
	r.turn("hang", 1)
	r.operate("tank-spill", true)
	r.until(signal.Minute + watchdogAfter)
	assert.True(t, r.isOn("top-up"), "a loop that stands still has looked at the cut-off")
	r.until(signal.Minute + watchdogAfter + signal.Millisecond)
	assert.False(t, r.isOn("top-up"), "the watchdog has not reset it")
	r.until(2 * signal.Minute)
	assert.Equal(t, 1, r.alerted(harness.AlertRestarted))
	assert.False(t, r.isOn("top-up"), "the cut-off is not looked at after the boot")
}

func TestAHangWithoutWatchdogLastsUntilThePowerFails(t *testing.T) {
	for name, options := range map[string][]Option{"no watchdog": nil, "fed by an interrupt": {Seeded("no-watchdog")}} {
		r := filling(t, options...)
		r.turn("hang", 1)
		if options == nil {
			r.turn("watchdog", 0)
		}
		r.until(signal.Hour)
		assert.True(t, r.isOn("top-up"), "%s: something has ended the hang", name)
		r.power(0)
		r.until(signal.Hour + signal.Second)
		assert.False(t, r.isOn("top-up"), "%s: the output is on without power", name)
		r.power(12)
		r.until(signal.Hour + signal.Minute)
		assert.Equal(t, 1, r.alerted(harness.AlertRestarted), name)
	}
}

// A brown-out resets the controller, also one whose loop hangs. A board without a detector hangs with its outputs as they
// are, and is off below a quarter of the level of 8.5 V.
func TestBelowTheBrownOutLevel(t *testing.T) {
	for _, c := range []struct {
		name     string
		hangs    float64
		detector bool
	}{{"running", 0, true}, {"hung", 1, true}, {"without a detector", 0, false}} {
		t.Run(c.name, func(t *testing.T) {
			var options []Option
			if !c.detector {
				options = append(options, Seeded("no-brown-out"))
			}
			r := filling(t, options...)
			r.turn("hang", c.hangs)
			r.until(r.now + signal.Second)
			for _, supply := range []struct {
				volts float64
				on    bool
			}{{8.6, true}, {8.4, !c.detector}, {2.2, !c.detector}, {2.1, false}} {
				if supply.volts < 8.5 {
					r.operate("tank-spill", true)
				}
				r.power(supply.volts)
				r.until(r.now + signal.Second)
				assert.Equal(t, supply.on, r.isOn("top-up"), "the valve is open, on a supply of %g V", supply.volts)
			}
		})
	}
}

// A start command for its valve is the reset of a lock-out by a person; no other command is.
func TestOnlyAStartOfItsValveUnlocksFilling(t *testing.T) {
	r := filling(t)
	r.until(3 * signal.Hour)
	require.True(t, r.c.fill.kept.lockedOut, "three fills that were too long do not lock it out")
	for _, c := range []struct {
		topic, zone string
		locked      bool
	}{{harness.TopicStop, "top-up", true}, {harness.TopicStart, "sprays", true}, {harness.TopicStart, "top-up", false}} {
		r.command(c.topic, c.zone, 600)
		r.until(r.now + signal.Minute)
		assert.Equal(t, c.locked, r.c.fill.kept.lockedOut, "locked out after %s %s", c.topic, c.zone)
		assert.Equal(t, !c.locked, r.isOn("top-up"), "the valve is open after %s %s", c.topic, c.zone)
	}
}

func TestPinsFloatForTheirTime(t *testing.T) {
	r := filling(t)
	r.turn("pins float", 0.3)
	r.turn("reset", 1)
	r.until(signal.Minute + 299*signal.Millisecond)
	assert.True(t, r.isOn("sprays") && r.isOn("pump"), "the pins do not float")
	r.until(signal.Minute + 301*signal.Millisecond)
	assert.False(t, r.isOn("sprays") || r.isOn("pump") || r.isOn("top-up"), "the pins float for too long")
}

func TestAnUpdateShutsFirst(t *testing.T) {
	for _, c := range []struct {
		name   string
		cut    bool
		boots  signal.Time
		during bool
		option []Option
	}{
		{"applied", false, 61500 * signal.Millisecond, false, nil},
		{"cut at half", true, 31500 * signal.Millisecond, false, nil},
		{"with the outputs as they are", false, 61500 * signal.Millisecond, true, []Option{Seeded("update-holds-outputs")}},
	} {
		r := filling(t, c.option...)
		begins := r.now
		r.turn("update", 60)
		r.until(begins + 30*signal.Second)
		assert.Equal(t, c.during, r.isOn("top-up"), c.name)
		if c.cut {
			r.turn("reset", 1)
		}
		r.until(begins + 2*signal.Minute)
		id, _ := r.trace.Find("controller.filling")
		again := r.trace.Column(id)
		assert.InDelta(
			t,
			(begins + c.boots + 500*signal.Millisecond).Seconds(),
			again.At[len(again.At)-1].Seconds(),
			0.01,
			"%s: the fill goes on at another moment than after boot and debounce",
			c.name,
		)
		assert.Equal(t, 1, r.alerted(harness.AlertRestarted), c.name)
	}
}

func TestSettingsAreLostAndEnteredAgain(t *testing.T) {
	r := filling(t)
	r.turn("settings lost", 1)
	r.command(harness.TopicStart, "sprays", 600)
	r.until(signal.Hour)
	r.command(harness.TopicStart, "sprays", 600)
	r.until(2 * signal.Hour)
	assert.Equal(t, 1, r.alerted(harness.AlertSettingsLost))
	for _, output := range []string{"top-up", "sprays", "drip", "pump", "master"} {
		assert.False(t, r.isOn(output), "%s is on without settings", output)
	}
	require.NoError(t, r.panel.Close(r.now, "controller", "settings lost", 1))
	r.until(2*signal.Hour + 10*signal.Second)
	assert.True(t, r.isOn("top-up"), "it does not fill although it has been set up again")
}

func TestTornSettingsAreRefused(t *testing.T) {
	for seeded, longest := range map[string]float64{"": 25 * 60, "settings-unchecked": 0} {
		var options []Option
		if seeded != "" {
			options = append(options, Seeded(seeded))
		}
		r := filling(t, options...)
		r.turn("settings torn", 1)
		r.turn("reset", 1)
		r.until(2 * signal.Minute)
		assert.Equal(t, longest, r.c.fill.limit.(*runLimit).most.Seconds(), "%q", seeded)
		assert.True(t, r.isOn("top-up"), "%q: it does not fill after the restart", seeded)
		r.until(28 * signal.Minute)
		assert.Equal(t, longest == 0, r.isOn("top-up"), "%q: a fill of more than 25 min goes on", seeded)
	}
}

func TestALimitChangedInMidRunHoldsAtOnce(t *testing.T) {
	r := filling(t)
	r.until(10 * signal.Minute)
	r.turn("longest run", 300)
	r.until(10*signal.Minute + signal.Second)
	assert.False(t, r.isOn("top-up"), "a fill of ten minutes goes on under a limit of five")
	assert.Equal(t, 1, r.alerted(harness.AlertFillTooLong))
	require.NoError(t, r.panel.Close(r.now, "controller", "longest run", 300))
	assert.Equal(t, 25*signal.Minute, r.c.fill.limit.(*runLimit).most, "the limit of the settings does not come back")
}

// 2^31 ms are 24.8551 days and 2^32 ms 49.7103 (recomputed from the number of milliseconds in a day).
func TestALimitHoldsOverTheEndOfTheCounter(t *testing.T) {
	assert.InDelta(t, 24.8551, float64(uint64(1)<<31)/86400e3, 1e-4)
	assert.InDelta(t, 49.7103, float64(uint64(1)<<32)/86400e3, 1e-4)
	for _, c := range []struct {
		seeded string
		counts float64 // ms, when the run begins
		ends   bool
	}{
		{"", 1<<31 - 600e3, true}, {"", 1<<32 - 600e3, true},
		{"counter-signed", 1<<31 - 600e3, false}, {"counter-signed", 1<<32 - 600e3, true}, {"counter-signed", 1<<31 - 7200e3, true},
		{"counter-compared", 1<<32 - 600e3, false}, {"counter-compared", 1<<31 - 600e3, true},
	} {
		var options []Option
		if c.seeded != "" {
			options = append(options, Seeded(c.seeded))
		}
		spec, terminals := ternLane()
		spec.Settings.FlowAlarms = nil
		r := newRig(t, spec, terminals, options...)
		r.turn("counter", c.counts)
		r.operate("tank-low", true)
		r.until(26 * signal.Minute)
		assert.Equal(t, !c.ends, r.isOn("top-up"), "%q with the counter at %g ms", c.seeded, c.counts)
	}
}

// A counter that passes 2^31 or 2^32 within a run is told to have met the firmware, and none that does not.
func TestEndsOfTheCounterAreTold(t *testing.T) {
	for _, c := range []struct {
		name   string
		turned signal.Time
		counts float64 // ms, at that moment; the fill begins half a second later and may last 25 min
		want   int
	}{
		{"2^31 within the fill", signal.Hour, 1<<31 - 600e3, 1}, {"2^32 within the fill", signal.Hour, 1<<32 - 600e3, 1},
		{"just before its end", signal.Hour, 1<<31 - 1500e3, 1}, {"just after its end", signal.Hour, 1<<31 - 1501e3, 0},
		{"just before its beginning", signal.Hour, 1<<31 - 499, 0}, {"at the first moment", signal.Second, 1<<31 - 600e3, 1},
		{"long before", signal.Hour, 1<<31 - 7200e3, 0}, {"between the two", signal.Hour, 1<<31 + 600e3, 0},
	} {
		spec, terminals := ternLane()
		spec.Settings.FlowAlarms, spec.Settings.Moisture = nil, nil
		r := newRig(t, spec, terminals)
		r.until(c.turned)
		r.turn("counter", c.counts)
		r.operate("tank-low", true)
		r.until(c.turned + 10*signal.Second)
		require.True(t, r.isOn("top-up"))
		assert.Equal(t, c.want, r.disturbed(), c.name)
	}
}

// A run that is started remotely has a limit as well, and a counter that nobody counts, or a run without end, has no
// ends.
func TestEndsOfTheCounterInARemoteRun(t *testing.T) {
	for _, seeded := range []string{"", "counter-signed"} {
		var options []Option
		if seeded != "" {
			options = append(options, Seeded(seeded))
		}
		spec, terminals := ternLane()
		spec.Settings.FlowAlarms, spec.Settings.Moisture = nil, nil
		r := newRig(t, spec, terminals, options...)
		r.until(signal.Minute)
		assert.Equal(t, wrap{}, r.c.counter.wraps(0, 60*signal.Day), "it is not counted")
		r.turn("counter", 1<<31-300e3)
		assert.Equal(t, wrap{}, r.c.counter.wraps(0, signal.Never))
		r.command(harness.TopicStart, "sprays", 0)
		r.until(signal.Hour)
		assert.Equal(t, 1, r.disturbed())
		assert.Equal(t, seeded != "", r.isOn("sprays"), "%q", seeded)
		require.NoError(t, r.panel.Close(r.now, "controller", "counter", 1<<31-300e3))
		assert.Equal(t, wrap{}, r.c.counter.wraps(0, 60*signal.Day), "it is not counted any more")
	}
}

// After a restart nothing is left of the connection: it is made anew, and what waited for it is gone.
func TestARestartConnectsAnew(t *testing.T) {
	r := filling(t)
	r.power(0)
	r.until(r.now + signal.Second)
	r.power(12)
	r.log.Reset()
	r.until(r.now + 10*signal.Second)
	assert.Equal(t, 1, strings.Count(r.log.String(), " connects\n"), r.log.String())
}

func TestAConnectionWithoutAnswersIsGivenUp(t *testing.T) {
	for _, seeded := range []string{"", "half-open-trusted"} {
		var options []Option
		if seeded != "" {
			options = append(options, Seeded(seeded))
		}
		r := filling(t, options...)
		r.network = "silent"
		r.open("bed-probe")
		r.log.Reset()
		for r.now < 5*signal.Minute {
			r.command(harness.TopicStop, "sprays", 0) // a command is no answer
			r.until(r.now + 5*signal.Second)
		}
		assert.Equal(t, seeded == "", r.c.network.link != up, "%q", seeded)
		if seeded == "" {
			said, _, _ := strings.Cut(r.log.String(), " connects\n")
			assert.Equal(
				t,
				3,
				strings.Count(said, "probe fault"),
				"the alert is sent three times, 10 s apart, and then the connection is given up:\n%s",
				r.log.String(),
			)
		}
	}
}
