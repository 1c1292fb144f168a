package wifi_test

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/wifi"
	"ullage/harness"
	"ullage/harness/fault"
	"ullage/harness/quantity"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

const ms, s = signal.Millisecond, signal.Second

// rig is an access point with a test in the place of controller and loop: joins in 2 s, 80 ms to the cloud and back, a
// loss is seen after 6 s.
type rig struct {
	t     *testing.T
	wifi  *wifi.WiFi
	trace *signal.Trace
	panel *fault.Panel
	now   signal.Time
	got   []harness.Frame
}

func newRig(t *testing.T) *rig {
	r := &rig{t: t, wifi: wifi.New(sitefile.WiFi{}, []string{"sprays"}), trace: signal.NewTrace(),
		panel: fault.NewPanel()}
	require.NoError(t, r.wifi.Open(context.Background(), r.trace, r.panel, harness.Draw{}))
	return r
}

// run lets time pass until a moment, and then sends.
func (r *rig) run(until signal.Time, send ...harness.Frame) {
	for {
		next := max(r.now, min(until, r.wifi.Next()))
		var sent []harness.Frame
		if next == until {
			sent = send
		}
		r.now = next
		got, err := r.wifi.Advance(context.Background(), next, sent)
		require.NoError(r.t, err)
		r.got = append(r.got, got...)
		if next == until {
			return
		}
	}
}

func (r *rig) knob(name, knob string, value float64, until signal.Time) {
	require.NoError(r.t, r.panel.Open(r.now, name, knob, value))
	r.run(until)
	require.NoError(r.t, r.panel.Close(r.now, name, knob, value))
}

func (r *rig) events(name string) []signal.Time {
	id, ok := r.trace.Find(name)
	require.True(r.t, ok)
	return r.trace.Column(id).At
}

func (r *rig) values(name string) []float64 {
	id, _ := r.trace.Find(name)
	return r.trace.Column(id).Value
}

var (
	connect = harness.Frame{Kind: harness.Connect}
	alert   = harness.Frame{Kind: harness.Publish, Number: 7, Topic: harness.TopicAlert, Text: harness.AlertSpill}
	report  = harness.Frame{Kind: harness.Publish, Number: 8, Topic: harness.TopicReport}
)

func TestSessionOpensAndPublishesArrive(t *testing.T) {
	r := newRig(t)
	r.run(s, connect)
	r.run(5*s, alert)
	r.run(6*s, report)
	r.run(10 * s)
	assert.Equal(t, []harness.Frame{{At: 3 * s, Kind: harness.Connected},
		{At: 5*s + 80*ms, Kind: harness.Acknowledged, Number: 7},
		{At: 6*s + 80*ms, Kind: harness.Acknowledged,
			Number: 8}}, r.got, "the session opens after 2 s, and every publish is acknowledged a round trip later")
	assert.Equal(t, []signal.Time{5*s + 40*ms}, r.events("cloud.alert spill"),
		"an alert arrives half a round trip later")
	assert.Equal(t, []float64{0, 1}, r.values("cloud.alerts"))
	assert.Equal(t, []signal.Time{6*s + 40*ms}, r.events("cloud.report"))
	assert.Equal(t, []signal.Time{0, 3 * s}, r.events("wifi.session"))
}

func TestNothingGetsThroughWithoutASession(t *testing.T) {
	r := newRig(t)
	r.run(s, alert)
	r.run(10 * s)
	assert.Empty(t, r.got, "a publish without a session is not acknowledged")
	assert.Empty(t, r.events("cloud.alert spill"))
	r.knob("cloud", "start sprays", 600, 11*s)
	r.run(20 * s)
	assert.Empty(t, r.got, "a remote start without a session is lost")
}

func TestAccessPointGoesAway(t *testing.T) {
	r := newRig(t)
	r.run(s, connect)
	r.run(10*s, alert)
	r.got = nil
	r.run(10*s + 10*ms)
	require.NoError(t, r.panel.Open(r.now, "wifi", "signal", 0.4))
	assert.Equal(t, []float64{1}, r.values("wifi.up"), "a weak signal is a signal")
	require.NoError(t, r.panel.Close(r.now, "wifi", "signal", 0.4))
	r.knob("wifi", "signal", 0, 20*s)
	assert.Equal(t, []harness.Frame{{At: 16*s + 10*ms, Kind: harness.Lost}}, r.got,
		"the loss is seen after 6 s, and what was under way is lost with it")
	assert.Empty(t, r.events("cloud.alert spill"), "the alert never arrives")
	assert.Equal(t, []float64{0, 1, 0}, r.values("wifi.session"))
	assert.Equal(t, []float64{1, 0, 1}, r.values("wifi.up"))
	r.run(21*s, connect)
	r.run(30 * s)
	assert.Equal(t, harness.Connected, r.got[1].Kind, "it is there again")
}

func TestConnectIsRefusedWhileTheAccessPointIsAway(t *testing.T) {
	r := newRig(t)
	require.NoError(t, r.panel.Open(0, "wifi", "signal", 0))
	r.run(s, connect)
	r.run(4 * s)
	assert.Equal(t, []harness.Frame{{At: 3 * s, Kind: harness.Refused}}, r.got)
	require.NoError(t, r.panel.Close(r.now, "wifi", "signal", 0))
	r.run(5*s, connect)
	r.run(6 * s)
	require.NoError(t, r.panel.Open(r.now, "wifi", "signal", 0))
	r.run(9 * s)
	assert.Equal(t, harness.Frame{At: 7 * s, Kind: harness.Refused}, r.got[1],
		"the access point went away while the controller was joining")
}

// A remote start is sent once, when its knob is turned up, and not again when one of two overlapping starts ends.
func TestRemoteStarts(t *testing.T) {
	r := newRig(t)
	r.run(s, connect)
	r.run(5 * s)
	r.got = nil
	require.NoError(t, r.panel.Open(r.now, "cloud", "start sprays", 300))
	r.run(5*s + 500*ms)
	require.NoError(t, r.panel.Open(r.now, "cloud", "start sprays", 900))
	r.run(6 * s)
	require.NoError(t, r.panel.Close(r.now, "cloud", "start sprays", 900))
	require.NoError(t, r.panel.Close(r.now, "cloud", "start sprays", 300))
	r.run(10 * s)
	want := harness.Frame{Kind: harness.Command, Topic: harness.TopicStart, Text: "sprays"}
	first, second := want, want
	first.At, first.Value = 5*s+40*ms, 300
	second.At, second.Value = 5*s+540*ms, 900
	assert.Equal(t, []harness.Frame{first, second}, r.got)
}

func TestKnobsSayWhatTheyTake(t *testing.T) {
	for _, k := range newRig(t).panel.Knobs() {
		assert.Contains(t, []quantity.Dimension{quantity.State, quantity.Duration, quantity.Fraction}, k.Dim, k.Name)
		assert.NoError(t, k.Set(0, k.Rest), "a knob at rest does nothing")
	}
}

// A controller that has restarted connects again: the session of before ends there, with what was on its way in it.
func TestConnectingAgainBeginsANewSession(t *testing.T) {
	r := newRig(t)
	r.run(s, connect)
	r.run(10*s, alert)
	r.got = nil
	r.run(10*s+50*ms, connect)
	r.run(20 * s)
	assert.Equal(t, []harness.Frame{{At: 12*s + 50*ms, Kind: harness.Connected}}, r.got,
		"the acknowledgement belonged to the session of before")
	assert.Equal(t, []signal.Time{10*s + 40*ms}, r.events("cloud.alert spill"), "what had arrived has arrived")
	assert.Equal(t, []float64{0, 1, 0, 1}, r.values("wifi.session"))
	assert.Equal(t, []signal.Time{0, 3 * s, 10*s + 50*ms, 12*s + 50*ms}, r.events("wifi.session"))
}

// A gap that is over before anybody notices loses what was on its way and nothing else.
func TestAShortGapDoesNotEndTheSession(t *testing.T) {
	for _, test := range []struct {
		gap  signal.Time
		lost bool
	}{{1 * s, false}, {5999 * ms, false}, {8 * s, true}} {
		r := newRig(t)
		r.run(0, connect)
		r.run(10*s, alert)
		r.knob(wifi.Device, "signal", 0, 10*s+test.gap)
		r.run(30 * s)
		assert.Empty(t, r.events("cloud.alert "+harness.AlertSpill),
			"an alert that was on its way when the access point went arrived all the same")
		kinds := []harness.FrameKind{harness.Connected}
		if test.lost {
			kinds = append(kinds, harness.Lost)
		}
		var got []harness.FrameKind
		for _, f := range r.got {
			got = append(got, f.Kind)
		}
		assert.Equal(t, kinds, got, "a gap of %v", test.gap)
	}
}

// An answer reaches the attempt that asked: whoever asks again has forgotten the attempt before.
func TestTheAnswerReachesTheAttemptThatAsked(t *testing.T) {
	r := newRig(t)
	r.run(s, connect)
	r.run(2*s, connect)
	r.run(20 * s)
	assert.Equal(t, []string{"00:00:04 connected"}, r.heard())

	r.open("wifi", "signal", 0)
	r.run(30*s, connect)
	require.NoError(t, r.panel.Close(r.now, "wifi", "signal", 0))
	r.run(31*s, connect)
	r.run(50 * s)
	assert.Equal(t, []string{"00:00:26 lost", "00:00:33 connected"}, r.heard(),
		"the refusal of an attempt that is forgotten arrives")
}
