package site_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/fakes/accuracy"
	"ullage/harness/signal"
)

const (
	second      = signal.Second
	millisecond = signal.Millisecond
)

// header is a mains of a pressure in bar that leads through a pilot valve and a short pipe into the open.
func header(static, residual, kv float64) string {
	return fmt.Sprintf(`site: header
supplies:
  - {name: mains, static: %g bar, residual: %g bar, at: 20 L/min}
valves:
  - {name: valve, from: mains, capacity: %g m3/h, opens: 500 ms, closes: 1.5 s, characteristic: diaphragm, operates: pilot, opens-at: 0.3 bar, seats-at: 0.4 bar, pilot-stroke: 200 ms, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
pipes:
  - {name: pipe, from: valve, length: 4 m, bore: 16 mm}
outlets:
  - {name: nozzle, from: pipe, bore: 10 mm}
`, static, residual, kv) + controllerOf([]string{"valve"}, nil)
}

func TestPilotValveWithPressureStrokesAsItsCoilSays(t *testing.T) {
	r := open(t, read(t, header(3, 2, 1.5)))
	r.run(second)
	r.drive("valve", true)
	r.run(4 * second)
	r.drive("valve", false)
	r.run(10 * second)
	r.end()
	assert.Equal(t, 1.0, r.at("valve.disc", 1500*millisecond), "half a second after its coil it is open")
	assert.Greater(t, r.at("nozzle.flow", 3*second), 15*litrePerMinute)
	assert.Equal(t, []signal.Time{5500 * millisecond}, r.changes("valve.open", 0)[1:], "and 1.5 s after its coil shut")
}

func TestPilotValveNeedsADifferentialToOpen(t *testing.T) {
	for _, c := range []struct {
		static float64
		opens  bool
	}{{0.29, false}, {0.31, true}} {
		r := open(t, read(t, header(c.static, c.static/2, 1.5)))
		r.drive("valve", true)
		r.run(signal.Minute)
		r.end()
		assert.Equal(t, c.opens, len(r.changes("valve.open", 1)) > 0,
			"at a differential of %g bar, with 0.3 bar needed", c.static)
		assert.Equal(t, c.opens, r.last("nozzle.flow") > 0, "flow at a differential of %g bar", c.static)
	}
}

// With the coil off and less pressure than it takes to seat, the disc stays somewhere above its seat: high up where
// there is next to none, just off the seat where there is nearly enough. More pressure seats it.
func TestPilotValveDoesNotSeatWithoutADifferential(t *testing.T) {
	gap := 1.0
	for _, share := range []float64{0.02, 0.1, 0.15, 0.19} { // of 2 bar: 0.04 to 0.38 bar, with 0.4 bar needed
		r := open(t, read(t, header(2, 1.4, 1.5)))
		r.drive("valve", true)
		r.run(5 * second)
		r.drive("valve", false)
		r.open("mains", "pressure factor", share)
		r.run(10 * signal.Minute)
		disc := r.last("valve.disc")
		assert.Greater(t, disc, 0.0, "with %g of its pressure it must not seat", share)
		assert.Less(t, disc, gap, "more pressure must bring it nearer to the seat")
		assert.Positive(t, r.last("nozzle.flow"), "water runs through the gap")
		assert.Less(t, r.last("valve.differential"), 0.4e5*math.Pow(1-disc, 12)*1.11,
			"it stays although there is enough to move it")
		gap = disc
		r.close("mains", "pressure factor", share)
		r.run(r.now + 5*second)
		r.end()
		assert.Zero(t, r.last("valve.disc"), "when the pressure is back it seats")
		assert.Zero(t, r.last("nozzle.flow"))
	}
	assert.Less(t, gap, 0.1, "just below the differential that it needs, it only weeps")
}

// The lowest standing pressure at which a valve with the default differentials lifts, and that at which it seats, found
// by halving: what the trade says of pilot-operated valves is a range, and both must lie in it.
func TestDifferentialsOfTheTrade(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "differential that a pilot-operated valve needs",
		Equation: "balance of forces at the disc, network solved",
		Source:   "rows PV1 and PV3 of handbook.csv: 0.2 to 0.5 bar, to lift and to seat alike (manufacturers' tables, verified)", Tolerance: 0.15, Unit: "bar"})
	text := strings.Replace(header(2, 1.9, 1.5), "opens-at: 0.3 bar, seats-at: 0.4 bar, ", "", 1)
	least := func(does func(r *rig, share float64) bool) float64 {
		low, high := 0.0, 1.0
		for range 12 {
			middle := (low + high) / 2
			if does(open(t, read(t, text)), middle) {
				high = middle
			} else {
				low = middle
			}
		}
		return high * 2 // bar
	}
	const middle = 0.35 // bar, of the range
	c.Near(middle, least(func(r *rig, share float64) bool {
		r.open("mains", "pressure factor", share)
		r.drive("valve", true)
		r.run(signal.Minute)
		return r.last("valve.disc") > 0.5
	}), "to lift, bar")
	c.Near(middle, least(func(r *rig, share float64) bool {
		r.drive("valve", true)
		r.run(signal.Minute)
		r.drive("valve", false)
		r.open("mains", "pressure factor", share)
		r.run(2 * signal.Minute)
		return r.last("valve.disc") == 0
	}), "to seat, bar")
}

// A valve too large for its flow floats: it takes half of its opening differential from the water, and stands still.
func TestALargePilotValveFloats(t *testing.T) {
	r := open(t, read(t, header(3, 2, 8)))
	r.drive("valve", true)
	r.run(signal.Minute)
	turns := len(r.trace.Column(must(r, "valve.disc")).At)
	r.run(10 * signal.Minute)
	r.end()
	assert.Less(t, r.last("valve.disc"), 1.0)
	assert.InDelta(t, 0.15e5, r.last("valve.differential"), 0.15e5*0.11, "the differential that it floats at")
	assert.LessOrEqual(t, len(r.trace.Column(must(r, "valve.disc")).At), turns+2, "it must come to rest")
}

func must(r *rig, name string) signal.ID {
	id, ok := r.trace.Find(name)
	require.True(r.t, ok, "the site does not record %s", name)
	return id
}

// turnsRound counts how often a disc changes its direction.
func turnsRound(r *rig) (count int) {
	c := r.trace.Column(must(r, "valve.disc"))
	way := 0.0
	for i := 1; i < len(c.Value); i++ {
		if step := c.Value[i] - c.Value[i-1]; step != 0 {
			if step*way < 0 {
				count++
			}
			way = step
		}
	}
	return count
}

// A pressure just enough to lift the diaphragm, and too little once water runs, makes it chatter: never quicker than
// its pilot's stroke, and the same however often anybody looks.
func TestChatterIsBounded(t *testing.T) {
	chatter := func(look signal.Time) *rig {
		r := open(t, read(t, header(0.35, 0.01, 15)))
		r.drive("valve", true)
		for r.now < signal.Minute {
			r.run(min(signal.Minute, r.now+look))
		}
		r.end()
		return r
	}
	r := chatter(signal.Minute)
	count := turnsRound(r)
	assert.Greater(t, count, 30, "it must chatter")
	assert.LessOrEqual(t, count, 300, "and not quicker than every 200 ms one way")
	same(t, r.trace, chatter(137*millisecond).trace, "observed every 137 ms")
}

func TestALongChatterIsAffordable(t *testing.T) {
	r := open(t, read(t, header(0.35, 0.01, 15)))
	r.drive("valve", true)
	r.run(2 * signal.Hour)
	r.end()
	assert.Less(t, turnsRound(r), 500, "every cycle costs a millisecond, and some hundred points of the trace")
	assert.Greater(t, turnsRound(r), 200, "it must go on")
}

// Whatever the pressures do, a de-energised valve that has come to rest is seated or lacks the differential to move.
func TestADiscAtRestLacksTheDifferential(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := open(t, read(t, header(2, rapid.Float64Range(0.2, 1.9).Draw(t, "residual"), rapid.Float64Range(0.3,
			6).Draw(t, "Kv"))))
		r.drive("valve", true)
		r.run(signal.Time(rapid.Int64Range(0, int64(3*second)).Draw(t, "on for")))
		r.drive("valve", false)
		share := 1.0
		for range rapid.IntRange(1, 4).Draw(t, "changes") {
			r.run(r.now + signal.Time(rapid.Int64Range(1, int64(3*second)).Draw(t, "after")))
			if share != 1 {
				r.close("mains", "pressure factor", share)
			}
			share = rapid.Float64Range(0, 0.99).Draw(t, "share")
			r.open("mains", "pressure factor", share)
		}
		r.run(r.now + signal.Minute)
		r.end()
		if disc := r.last("valve.disc"); disc > 0 {
			require.Less(t, r.last("valve.differential"), 0.4e5*math.Pow(1-disc, 12)*1.11,
				"the disc stands at %g of its stroke", disc)
		} else {
			require.Zero(t, r.last("nozzle.flow"), "water passes a seated valve")
		}
	})
}

// A zone valve with a pilot, whose master valve shuts first, has nothing left to seat it: it stays open, and lets water
// through for a moment when the master opens for another zone.
func TestAZoneBehindAMasterThatShutsFirst(t *testing.T) {
	text := strings.Replace(
		header(3, 2, 1.5),
		"valves:\n",
		"valves:\n  - {name: master, from: mains, capacity: 4 m3/h, opens: 100 ms, closes: 100 ms, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}\n",
		1,
	)
	text = strings.Replace(text, "{name: valve, from: mains,", "{name: valve, from: master,", 1)
	r := open(t, read(t, strings.Replace(text, "{terminal: OUT1, output: valve}",
		"{terminal: OUT1, output: valve}\n    - {terminal: OUT2, output: master}", 1)))
	r.drive("master", true)
	r.drive("valve", true)
	r.run(5 * second)
	assert.Equal(t, 1.0, r.last("valve.disc"))
	r.drive("master", false)
	r.drive("valve", false)
	r.run(signal.Minute)
	assert.Greater(t, r.last("valve.disc"), 0.5, "the disc of the zone has nothing that presses it home")
	r.drive("master", true)
	r.run(r.now + 400*millisecond)
	assert.Greater(t, r.last("nozzle.flow"), 5*litrePerMinute, "and the zone runs although nobody called it")
	r.run(r.now + 5*second)
	r.end()
	assert.Zero(t, r.last("valve.disc"), "until the water has shut it")
	assert.Zero(t, r.last("nozzle.flow"))
}

// The knobs of the seat: what it needs, what it lets weep, how long it takes.
func TestKnobsOfTheSeat(t *testing.T) {
	r := open(t, read(t, header(3, 2, 1.5)))
	r.drive("valve", true)
	r.run(5 * second)
	r.open("valve", "seats at", 5e5)
	r.drive("valve", false)
	r.run(signal.Minute)
	assert.Greater(t, r.last("valve.disc"), 0.0, "a diaphragm that needs 5 bar does not seat at 3 bar")
	r.close("valve", "seats at", 5e5)
	r.run(r.now + 5*second)
	assert.Zero(t, r.last("valve.disc"))

	r.open("valve", "weep", 0.02)
	r.run(r.now + second)
	assert.Zero(t, r.last("valve.open"), "a valve that weeps is seated")
	full, weeps := r.at("nozzle.flow", 4*second), r.last("nozzle.flow")
	assert.InDelta(t, 0.02, weeps/full, 0.02, "2 %% of the Kv")
	assert.Positive(t, weeps)
	r.close("valve", "weep", 0.02)
	assert.Zero(t, r.last("nozzle.flow"))

	for _, factor := range []float64{4, 0.25} {
		r.drive("valve", true)
		r.run(r.now + 5*second)
		r.open("valve", "closing factor", factor)
		r.drive("valve", false)
		at := r.now
		r.run(r.now + 20*second)
		shut := r.changes("valve.open", 0)
		assert.InDelta(t, 1.5*factor, (shut[len(shut)-1] - at).Seconds(), 1e-6, "its stroke takes %g times as long",
			factor)
		r.close("valve", "closing factor", factor)
	}
}

// A coil that moves its disc does not ask the water.
func TestDirectValveIsIndifferent(t *testing.T) {
	r := open(t, read(t, hose("linear")))
	r.drive("valve", true)
	r.run(5 * second)
	r.open("mains", "pressure factor", 0.001)
	r.drive("valve", false)
	r.run(10 * second)
	assert.Zero(t, r.last("valve.disc"))
	require.Error(t, r.panel.Open(r.now, "valve", "seats at", 1e5), "it has no pilot whose differential could change")
}

// chain is a master valve and a zone valve, both with pilots, too large for the flow of the zone: both float.
const chain = `site: chain
supplies:
  - {name: mains, static: 3 bar, residual: 2 bar, at: 30 L/min}
valves:
  - {name: master, from: mains, capacity: 3 m3/h, opens: 500 ms, closes: 1.5 s, characteristic: diaphragm, operates: pilot, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
  - {name: zone, from: master, capacity: 3 m3/h, opens: 500 ms, closes: 1.5 s, characteristic: diaphragm, operates: pilot, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
outlets:
  - {name: sprays, from: zone, count: 6, flow: 2 L/min, at: 2 bar}
`

// A disc that floats falls when its coil is let go: the differential that held it up presses it down, and grows as it
// falls.
func TestAFloatingDiscFallsWhenItsCoilIsLetGo(t *testing.T) {
	for _, capacity := range []float64{1.5, 2.5, 4, 6} {
		r := open(t, read(t, header(3, 2, capacity)))
		r.drive("valve", true)
		r.run(signal.Minute)
		r.drive("valve", false)
		r.run(r.now + 10*second)
		r.end()
		assert.Zero(t, r.last("valve.disc"), "a valve of %g m³/h stays open with 3 bar before it", capacity)
	}
	r := open(t, read(t, chain+controllerOf([]string{"master", "zone"}, nil)))
	for range 3 {
		r.drive("master", true)
		r.drive("zone", true)
		r.run(r.now + signal.Minute)
		assert.Positive(t, r.last("sprays.flow"), "what was shut in between the valves keeps them shut")
		assert.Less(t, r.last("master.disc"), 0.9)
		r.drive("master", false)
		r.drive("zone", false)
		r.run(r.now + 10*second)
		assert.Zero(t, r.last("master.disc"), "the master stays open behind 3 bar")
		assert.Zero(t, r.last("zone.disc"), "the zone stays open behind 3 bar")
	}
}

// A master valve whose zone stays shut fills the pipe between and comes to rest: what is shut in there lifts nothing.
func TestMasterBeforeAShutZoneComesToRest(t *testing.T) {
	r := open(t, read(t, chain+controllerOf([]string{"master", "zone"}, nil)))
	r.drive("master", true)
	r.run(signal.Hour)
	assert.Less(t, len(r.trace.Column(must(r, "master.disc")).At), 50,
		"the master goes up and down before a zone that is shut")
	r.drive("zone", true)
	r.run(r.now + 5*second)
	r.end()
	assert.Positive(t, r.last("sprays.flow"), "when the zone opens, the master follows")
}
