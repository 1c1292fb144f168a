package outcome

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/quantity"
	"ullage/harness/signal"
)

// nursery is a run of ten minutes on a small site: a spray valve that closes late, a tank that is filled too far.
func nursery() *signal.Trace {
	trace := newRecord(
		signal.Signal{Device: "sprays", Quantity: "disc", Dim: quantity.State},
		signal.Signal{Device: "header-tank", Quantity: "level", Dim: quantity.Length, Shape: signal.Linear},
		signal.Signal{Device: "pump", Quantity: "command", Dim: quantity.State},
		signal.Signal{Device: "cloud", Quantity: "alert", Dim: quantity.Count, Shape: signal.Event},
		signal.Signal{Device: "mains", Quantity: "volume", Dim: quantity.Volume, Shape: signal.Linear},
		signal.Signal{Device: "house", Quantity: "temperature", Dim: quantity.Temperature},
		signal.Signal{Device: "script", Quantity: "stop", Shape: signal.Event},
	)
	put := func(at float64, id signal.ID, v float64) {
		trace.Put(signal.Change{At: signal.FromSeconds(at), ID: id, Value: v})
	}
	for id, v := range []float64{1, 0, 0.4, 0, 0, 0.02, 18} {
		if id != 4 {
			put(0, signal.ID(id), v)
		}
	}
	put(60, 1, 1)
	put(100, 3, 1)
	put(150, 3, 0)
	put(200, 3, 1)
	put(300, 7, 0)
	put(306.2, 1, 0)
	put(400, 2, 0.612)
	put(450, 4, 1)
	put(500, 2, 0.5)
	put(500, 6, 24)
	put(600, 5, 0.32)
	trace.Close(600 * signal.Second)
	return trace
}

// TestVerdicts checks what a reader is told: got before want, when, and in the units of the trade.
func TestVerdicts(t *testing.T) {
	disc, notDisc := Condition{"sprays.disc", On, 0}, Condition{"sprays.disc", Off, 0}
	high, low := Condition{"header-tank.level", AtLeast, 0.6}, Condition{"header-tank.level", AtMost, 0.6}
	pump, alert := Condition{"pump.command", On, 0}, Event{Condition{"cloud.alert", On, 0}}
	stop := Mark("stop")
	const s = signal.Second
	cases := []struct {
		p      Property
		state  State
		margin float64
		share  float64
		signal string
		why    string
	}{
		{Always(low), Failed, -0.012, -0.02, "header-tank.level",
			"header-tank.level was 612 mm at 00:06:40, want always at most 600 mm"},
		{Never(disc), Failed, -246.2, -246.2 / 600, "sprays.disc",
			"sprays.disc was on from 00:01:00 on, for 4 min 6.2 s at the longest, want never on"},
		{Never(alert.Condition), Failed, -1, 0, "cloud.alert",
			"cloud.alert occurred once from 00:00:00 to 00:10:00, want at most 0"},
		{NeverTogether(disc, pump), Failed, -106.2, -106.2 / 600, "sprays.disc",
			"sprays.disc was on while pump.command was on from 00:01:40 on, for 1 min 46.2 s at the longest, want never both"},
		{LongestStretch(disc, 4*signal.Minute), Failed, -6.2, -6.2 / 240, "sprays.disc",
			"sprays.disc was on for 4 min 6.2 s at a stretch, until 00:05:06.2, want 4 min at the longest"},
		{TotalAtMost(pump, 400*s), Failed, -50, -0.125, "pump.command",
			"pump.command was on for 7 min 30 s in all from 00:00:00 to 00:10:00, want at most 6 min 40 s"},
		{TurnsWithin(stop, 5*s, notDisc), Failed, -1.2, -0.24, "sprays.disc",
			"sprays.disc was still on until 1.2 s after the deadline 00:05:05, want off within 5 s after stop at 00:05:00"},
		{TurnsWithin(stop, 7*s, notDisc), Held, 0.8, 0.8 / 7, "sprays.disc", ""},
		{TurnsWithin(stop, 100*s, Condition{"house.temperature", AtLeast, 30}), Failed, -200, -2, "house.temperature",
			"house.temperature was still below 30 °C when the run ended, 3 min 20 s after the deadline 00:06:40, want at least 30 °C within 1 min 40 s after stop at 00:05:00"},
		{TurnsWithin(stop, 400*s, Condition{"house.temperature", AtLeast, 30}), NotExercised, 100, 0.25,
			"house.temperature",
			"the run ended at 00:10:00, before the deadline 00:11:40 for house.temperature at least 30 °C had passed"},
		{TurnsWithin(Event{Condition{"house.temperature", AtLeast, 30}}, 5*s, notDisc), NotExercised, 0, 0,
			"house.temperature",
			"house.temperature reaching at least 30 °C did not occur from 00:00:00 to 00:10:00"},
		{EventWithin(Event{high}, 30*s, alert), Failed, 30 - (450 - 400*0.2/0.212), (30 - (450 - 400*0.2/0.212)) / 30,
			"cloud.alert",
			"cloud.alert came 42.64 s after the deadline 00:06:47.358491, want it within 30 s after header-tank.level reaching at least 600 mm at 00:06:17.358491"},
		{EventWithin(stop, 30*s, Mark("begins")), Failed, -270, -9, "script.begins",
			"begins had not come when the run ended, 4 min 30 s after the deadline 00:05:30, want it within 30 s after stop at 00:05:00"},
		{AtMostTimes(1, Event{pump}), Failed, -1, -1, "pump.command",
			"pump.command turning on occurred 2 times from 00:00:00 to 00:10:00, want at most 1"},
		{AtLeastTimes(3, Event{pump}), Failed, -1, -1.0 / 3, "pump.command",
			"pump.command turning on occurred 2 times from 00:00:00 to 00:10:00, want at least 3"},
		{RiseAtMost("mains.volume", 0.25), Failed, -0.05, -0.2, "mains.volume",
			"mains.volume had risen by 300 L at 00:10:00, want at most 250 L since 00:00:00"},
		{RiseAtLeast("house.temperature", 8), Failed, -2, -0.25, "house.temperature",
			"house.temperature had risen by 6 °C at 00:10:00, want at least 8 °C since 00:00:00"},
	}
	trace := nursery()
	for _, c := range cases {
		v := judgeOf(t, trace, c.p)
		assert.Equal(t, c.state, v.State, "%s", c.why)
		assert.InDelta(t, c.margin, v.Margin, 1e-8, "margin: %s", c.why)
		share, _ := v.Share()
		assert.InDelta(t, c.share, share, 1e-8, "share: %s", c.why)
		assert.Equal(t, c.signal, v.Signal, c.why)
		assert.Equal(t, c.why, v.Why)
	}
	m, err := Always(low).Monitor(Mark("stop"), lookup(trace))
	require.NoError(t, err)
	m.Close(5 * s)
	assert.Equal(t, NotExercised, m.Verdict().State)
	assert.Equal(t, "the run ended at 00:00:05 without stop, from which on this is observed", m.Verdict().Why)
}

// TestMistakes names what a property cannot look at.
func TestMistakes(t *testing.T) {
	trace := nursery()
	alert, pump := Condition{"cloud.alert", On, 0}, Condition{"pump.command", On, 0}
	for want, p := range map[string]Property{
		"cloud.alert exists only at its events and is never off":         Always(alert),
		"cloud.alert exists only at its events and lasts no time; want":  NeverTogether(pump, alert),
		"cloud.alert exists only at its events and lasts no time; count": LongestStretch(alert, 1),
		"pump.command has -00:00:01 to follow": TurnsWithin(Event{alert}, -signal.Second,
			pump),
		"is to occur -1 times":                    AtMostTimes(-1, Event{alert}),
		"comparison 9 of pump.command is unknown": Always(Condition{"pump.command", 9, 0}),
		"with a value at all times for a rise":    RiseAtMost("cloud.alert", 1),
	} {
		_, err := p.Monitor(Event{}, lookup(trace))
		assert.ErrorContains(t, err, want)
	}
}
