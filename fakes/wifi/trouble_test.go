package wifi_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness"
	"ullage/harness/signal"
)

func (r *rig) open(name, knob string, value float64) {
	require.NoError(r.t, r.panel.Open(r.now, name, knob, value))
}

// heard is what the controller has received, each with its moment.
func (r *rig) heard() []string {
	var list []string
	for _, f := range r.got {
		list = append(list, fmt.Sprintf("%v %v", f.At, f.Kind))
	}
	r.got = nil
	return list
}

func TestTheInternetIsAway(t *testing.T) {
	r := newRig(t)
	r.run(s, connect)
	r.run(10*s, alert)
	r.open("cloud", "internet", 0)
	r.run(11 * s)
	assert.Equal(t, []string{"00:00:03 connected"}, r.heard(),
		"what was on its way arrives although the internet is away")
	r.run(200 * s)
	assert.Equal(t, []string{"00:01:40 lost"}, r.heard(), "the loss is noticed after one and a half keep-alives")
	r.run(201*s, connect)
	r.run(300 * s)
	assert.Empty(t, r.heard(), "a connection is answered although nothing lies behind the access point")
	require.NoError(t, r.panel.Close(r.now, "cloud", "internet", 0))
	r.run(301*s, connect)
	r.run(310 * s)
	assert.Equal(t, []string{"00:05:03 connected"}, r.heard())
	assert.Equal(t, []float64{1}, r.values("wifi.up"), "the access point has been there all along")
	assert.Equal(t, []float64{0, 1, 0}, r.values("cloud.away"))
	assert.Empty(t, r.events("cloud.alert spill"))
}

func TestTheBrokerRefuses(t *testing.T) {
	r := newRig(t)
	r.run(s, connect)
	r.run(10 * s)
	r.open("cloud", "broker", 0)
	r.run(11*s, connect)
	r.run(20 * s)
	assert.Equal(t, []string{"00:00:03 connected", "00:00:10 lost", "00:00:13 refused"}, r.heard())
}

func TestDelayKeepsTheOrder(t *testing.T) {
	r := newRig(t)
	r.run(s, connect)
	r.run(10 * s)
	r.open("wifi", "delay", 5)
	r.run(11*s, alert)
	require.NoError(t, r.panel.Close(r.now, "wifi", "delay", 5))
	r.run(12*s, report)
	r.run(30 * s)
	assert.Equal(t, []signal.Time{16*s + 40*ms}, r.events("cloud.alert spill"))
	assert.Equal(t, []signal.Time{16*s + 40*ms}, r.events("cloud.report"),
		"a report overtakes an alert that was sent before it")
}

// Lost, and delivered twice: as often as the knob says, in the long run, and the same ones each time.
func TestLossAndDuplicates(t *testing.T) {
	for _, c := range []struct {
		knob      string
		value     float64
		least, at int // alerts of 400 that arrive
	}{{"loss", 1, 0, 0}, {"duplicates", 1, 800, 800}, {"loss", 0.25, 270, 330}, {"duplicates", 0.5, 550, 650}} {
		first := -1
		for range 2 {
			r := newRig(t)
			r.run(s, connect)
			r.run(10 * s)
			r.open("wifi", c.knob, c.value)
			for i := range 400 {
				r.run(signal.Time(11+i)*s, alert)
			}
			r.run(500 * s)
			n := len(r.events("cloud.alert spill"))
			assert.True(t, n >= c.least && n <= c.at, "%d of 400 alerts arrive with %s at %g", n, c.knob, c.value)
			if first < 0 {
				first = n
			}
			assert.Equal(t, first, n, "another run loses others")
		}
	}
}

func TestHalfOpen(t *testing.T) {
	r := newRig(t)
	r.run(s, connect)
	r.run(10 * s)
	r.heard()
	r.knob("wifi", "half open", 1, 11*s)
	r.run(12*s, alert)
	r.open("cloud", "start sprays", 60)
	r.run(300 * s)
	assert.Empty(t, r.heard(), "something of a half-open session reaches the controller")
	assert.Empty(t, r.events("cloud.alert spill"))
	r.run(301*s, connect)
	r.run(310*s, alert)
	r.run(320 * s)
	assert.Len(t, r.events("cloud.alert spill"), 1, "a new session is not a good one")
}

func TestStopsFromAfar(t *testing.T) {
	for _, lost := range []bool{false, true} {
		r := newRig(t)
		r.run(s, connect)
		r.run(10 * s)
		r.got = nil
		if lost {
			r.open("cloud", "stops lost", 1)
		}
		r.knob("cloud", "start sprays", 600, 11*s)
		r.knob("cloud", "stop sprays", 1, 12*s)
		r.run(20 * s)
		var topics []string
		for _, f := range r.got {
			assert.Equal(t, harness.Command, f.Kind)
			topics = append(topics, f.Topic)
		}
		if lost {
			assert.Equal(t, []string{harness.TopicStart}, topics)
		} else {
			assert.Equal(t, []string{harness.TopicStart, harness.TopicStop}, topics)
		}
	}
}
