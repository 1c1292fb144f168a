package site_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/signal"
)

// villageTap is a mains whose pressure changes with the time of day, a filter, a hand valve, a valve and an open
// nozzle.
func villageTap(daily, filter, nozzle string) string {
	return `site: tap
supplies:
  - {name: mains, static: 4 bar, residual: 3 bar, at: 30 L/min, daily: [` + daily + `]}
meters:
  - {name: meter, from: mains, capacity: 5 m3/h, per-pulse: 10 L}
filters:
  - {name: filter, from: meter, capacity: 3 m3/h` + filter + `}
throttles:
  - {name: throttle, from: filter, capacity: 4 m3/h, set: 50 %}
valves:
  - {name: valve, from: throttle, capacity: 3 m3/h, opens: 500 ms, closes: 2 s, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
pipes:
  - {name: pipe, from: valve, length: 10 m, bore: 16 mm}
outlets:
  - {name: nozzle, from: pipe` + nozzle + `}
` + controllerOf([]string{"valve"}, nil)
}

const plainNozzle = ", flow: 10 L/min, at: 2 bar"

func TestMainsFollowTheTimeOfDay(t *testing.T) {
	r := open(
		t,
		read(
			t,
			villageTap(
				`{from: "06:00", share: 75 %}, {from: "18:00", share: 50 %, over: 2 h}, {from: "22:00", share: 100 %}`,
				"",
				plainNozzle,
			),
		),
	)
	r.run(2 * signal.Day)
	r.end()
	for _, c := range []struct {
		at    signal.Time
		share float64
	}{
		{0, 1}, {6*signal.Hour - 1, 1}, {6 * signal.Hour, 0.75}, {18 * signal.Hour, 0.75}, {19 * signal.Hour, 0.625},
		{20 * signal.Hour, 0.5}, {22*signal.Hour - 1, 0.5}, {22 * signal.Hour, 1}, {30*signal.Hour - 1, 1},
		{43 * signal.Hour, 0.625},
	} {
		assert.InDelta(t, 4e5*c.share, r.at("mains.pressure", c.at), 1, "with nothing drawn at %v", c.at)
	}
}

func TestMainsBeginAtTheClockOfTheSite(t *testing.T) {
	spec := read(t, villageTap(`{from: "06:00", share: 75 %}, {from: "18:00", share: 50 %, over: 2 h}`, "",
		plainNozzle))
	spec.Controller.Settings.Clock = "Tuesday 19:30"
	r := open(t, spec)
	r.run(11 * signal.Hour)
	r.end()
	assert.InDelta(t, 4e5*0.5625, r.at("mains.pressure", 0), 1, "half an hour before the ramp ends")
	assert.InDelta(t, 4e5*0.5, r.at("mains.pressure", signal.Hour), 1, "through the night")
	assert.InDelta(t, 4e5*0.75, r.at("mains.pressure", 11*signal.Hour), 1, "in the morning")
}

// What was solved with pressures that ramp must balance and follow the mains at every moment.
func TestDrawingThroughARampOfTheMains(t *testing.T) {
	r := open(t, read(t, villageTap(`{from: "00:00", share: 100 %}, {from: "00:10", share: 40 %, over: 1 h}`, "",
		plainNozzle)))
	r.drive("valve", true)
	r.run(2 * signal.Hour)
	trace := r.end()
	out, err := r.site.Balance(trace)
	require.NoError(t, err)
	assert.InDelta(t, 0, out, 1e-6, "the water does not balance")
	before := math.Inf(1)
	for at := 10 * signal.Minute; at <= 70*signal.Minute; at += signal.Minute {
		flow := r.at("nozzle.flow", at)
		assert.Less(t, flow, before, "the flow must fall all along the ramp, and does not at %v", at)
		before = flow
	}
	alone := open(t, read(t, villageTap(`{from: "00:00", share: 40 %}`, "", plainNozzle)))
	alone.drive("valve", true)
	alone.run(signal.Hour)
	alone.end()
	assert.InEpsilon(t, alone.last("nozzle.flow"), r.last("nozzle.flow"), 1e-6, "after the ramp")
}

// Each litre blocks as much as the one before: at any moment the loss at the filter is that of its capacity less the
// share that has passed.
func TestFilterLoadsUpWithWhatPasses(t *testing.T) {
	r := open(t, read(t, villageTap("", ", blocks-after: 3 m3", plainNozzle)))
	r.drive("valve", true)
	r.run(3 * signal.Hour)
	r.end()
	assert.InDelta(t, r.last("meter.volume")/3, r.last("filter.loading"), 1e-9,
		"the loading is the share of the volume that it takes")
	assert.Greater(t, r.last("filter.loading"), 0.5, "too little has passed for a test")
	for _, at := range []signal.Time{10 * signal.Minute, signal.Hour, 3 * signal.Hour} {
		flow, loading := r.at("meter.flow", at), r.at("filter.loading", at)
		kv := 3 * (1 - loading)
		before := r.at("mains.pressure", at) - 1e5*math.Pow(3600*flow/5, 2)
		want := before - 1e5*math.Pow(3600*flow/kv, 2)
		assert.InEpsilon(t, want, r.at("filter.pressure", at), 0.01, "pressure behind the filter at %v", at)
	}
	assert.Less(t, r.last("nozzle.flow"), 0.9*r.at("nozzle.flow", signal.Minute), "the nozzle must get less")
	out, err := r.site.Balance(r.trace)
	require.NoError(t, err)
	assert.InDelta(t, 0, out, 1e-6)
}

func TestKnobsOfThePipework(t *testing.T) {
	r := open(t, read(t, villageTap("", "", plainNozzle)))
	r.drive("valve", true)
	r.run(signal.Minute)
	before := r.last("nozzle.flow")
	for _, c := range []struct {
		device, knob string
		value        float64
	}{{"filter", "loading", 0.8}, {"nozzle", "passage", 0.3}, {"throttle", "set", 0.1}, {"pipe", "hole", 0.008}} {
		r.open(c.device, c.knob, c.value)
		r.run(r.now + signal.Minute)
		assert.Less(t, r.last("nozzle.flow"), 0.9*before, "%s of %s at %v leaves the nozzle its flow", c.knob, c.device,
			c.value)
		if c.knob == "hole" {
			pressure := r.last("pipe.pressure")
			want := 0.62 * math.Pi / 4 * 0.008 * 0.008 * math.Sqrt(2*pressure/998.2)
			assert.InEpsilon(t, want, r.last("pipe.leak"), 1e-6, "what a round hole lets out by Torricelli")
		}
		r.close(c.device, c.knob, c.value)
		r.run(r.now + signal.Minute)
		assert.InEpsilon(t, before, r.last("nozzle.flow"), 1e-9, "after %s of %s has been put right", c.knob, c.device)
	}
	r.open("pipe", "hole", 2)
	r.run(r.now + signal.Minute)
	pressure := r.last("pipe.pressure")
	assert.InEpsilon(t, math.Pi/4*0.016*0.016*math.Sqrt(2*pressure/998.2), r.last("pipe.leak"), 1e-6,
		"an open end loses one velocity head")
	assert.Less(t, r.last("nozzle.flow"), 0.4*before, "a pipe that has come off passes next to nothing on")
	r.end()
	out, err := r.site.Balance(r.trace)
	require.NoError(t, err)
	assert.InDelta(t, 0, out, 1e-6, "what leaks must be counted")
	assert.InDelta(t, r.last("pipe.leaked"), r.last("site.lost"), 1e-12, "what leaks is lost")
}

// Below the pressure that it works above a nozzle is weak, and only while water leaves it.
func TestNozzleIsWeakBelowItsPressure(t *testing.T) {
	r := open(t, read(t, villageTap(`{from: "00:00", share: 100 %}, {from: "01:00", share: 30 %, over: 1 h}`, "",
		plainNozzle+", works-above: 1.5 bar")))
	r.run(signal.Minute)
	assert.Empty(t, r.changes("nozzle.weak", 1), "no water leaves the nozzle")
	r.drive("valve", true)
	r.run(3 * signal.Hour)
	r.drive("valve", false)
	r.run(4 * signal.Hour)
	r.end()
	weak, well := r.changes("nozzle.weak", 1), r.changes("nozzle.weak", 0)
	require.Len(t, weak, 2, "once while the valve opens, and once in the evening: %v, %v", weak, well)
	assert.Less(t, well[1], signal.Minute+2*signal.Second, "with the valve open it works")
	assert.InDelta(t, 1.5e5, r.at("nozzle.pressure", weak[1]), 1,
		"it becomes weak where the pressure passes what it needs")
	assert.InDelta(t, (3*signal.Hour + 2*signal.Second).Seconds(), well[2].Seconds(), 0.01,
		"with the valve shut it is not weak")
}

// A tank stands higher than the water before a non-return valve: nothing runs back until the valve leaks.
func TestNonReturnValveLeaksBack(t *testing.T) {
	r := open(t, read(t, `site: two tanks
tanks:
  - {name: upper, floor: 2 m, length: 1 m, width: 1 m, rim: 1 m, starts: 800 mm}
  - {name: lower, floor: 0 m, length: 1 m, width: 1 m, rim: 1 m, starts: 200 mm}
non-return-valves:
  - {name: flap, from: lower, capacity: 3 m3/h, opens-at: 0.02 bar}
pipes:
  - {name: riser, from: flap, joins: upper, length: 4 m, bore: 20 mm, height: 2 m}
`+controllerOf(nil, nil)))
	r.run(signal.Hour)
	assert.InDelta(t, 0.8, r.last("upper.level"), 1e-9, "the flap must hold")
	r.open("flap", "held open", 0.1)
	r.run(2 * signal.Hour)
	r.end()
	flowed := 0.8 - r.last("upper.level")
	assert.Greater(t, flowed, 0.1, "nothing runs back through a flap that leaks")
	assert.InDelta(t, 0.2+flowed, r.last("lower.level"), 1e-6, "it must arrive below")
}
