package site_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/signal"
)

// swinging is a tank that fills through a valve, with two floats of little differential.
func swinging(slosh string) string {
	return `site: swinging
supplies:
  - {name: mains, static: 4 bar, residual: 3 bar, at: 40 L/min}
valves:
  - {name: fill, from: mains, capacity: 1 m3/h, opens: 100 ms, closes: 100 ms, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
outlets:
  - {name: inlet, from: fill, bore: 10 mm, into: tank, air-gap: 40 mm, height: 920 mm}
tanks:
  - {name: tank, length: 1 m, width: 500 mm, rim: 880 mm, starts: 500 mm` + slosh + `}
contacts:
  - {name: high, in: tank, operates: 540 mm, releases: 535 mm, normally: open}
  - {name: far, in: tank, operates: 800 mm, releases: 790 mm, normally: open}
` + controllerOf([]string{"fill"}, []string{"high", "far"})
}

// A float that bobs changes where the water at it passes its levels, with the period that linear wave theory gives the
// tank.
func TestSwingingWaterMovesTheFloat(t *testing.T) {
	r := open(t, read(t, swinging(", slosh: {height: 15 mm, damping: 1 %}")))
	r.drive("fill", true)
	r.run(2 * signal.Minute)
	r.end()
	up, down := r.changes("high.operated", 1), r.changes("high.operated", 0)[1:]
	require.Greater(t, len(up), 5, "the float must bob when crests of 15 mm meet a differential of 5 mm")
	require.Len(t, down, len(up)-1, "it ends under water")
	for i, at := range up {
		assert.InDelta(t, 0.540, r.at("high.level", at), 2e-9,
			"it operates at %v, where the water at the float is not at its level", at)
		if i < len(down) {
			assert.InDelta(t, 0.535, r.at("high.level", down[i]), 2e-9, "it releases at %v", down[i])
		}
	}
	first := r.at("tank.level", up[0])
	assert.True(t, first < 0.540 && first > 0.525-1e-9,
		"the first crest reaches the float when still water is within a crest of it, not at %g m", first)
	// Two operations apart by one period of the tank, 1.137 s on 0.53 m of water, but for what the mean level gains.
	omega := math.Sqrt(9.80665 * math.Pi * math.Tanh(math.Pi*0.535))
	for i := range len(up) - 1 {
		assert.InDelta(t, 2*math.Pi/omega, (up[i+1] - up[i]).Seconds(), 0.08,
			"the float bobs with another period than the tank")
	}
	assert.Empty(t, r.changes("far.operated", 1), "a float that no crest reaches stays where it is")
	id, _ := r.trace.Find("far.level")
	assert.Less(t, len(r.trace.Column(id).At), 60, "water that stays away from a float costs no looks at each wave")
}

// When a fill has ended at a float, the record of the water there follows the waves until they are still: it does not
// go straight from the last crest to the end of the run.
func TestRecordOfWavesEndsStill(t *testing.T) {
	r := open(t, read(t, swinging(", slosh: {height: 15 mm, damping: 2 %}")))
	r.drive("fill", true)
	r.run(80 * signal.Second)
	r.drive("fill", false)
	r.run(30 * signal.Minute)
	r.end()
	require.NotEmpty(t, r.changes("high.operated", 1), "the fill has to reach the float")
	for at := 5 * signal.Minute; at < 25*signal.Minute; at += signal.Minute {
		assert.InDelta(t, r.at("tank.level", at), r.at("high.level", at), 1.5e-4, "at %v the water is still", at)
		assert.InDelta(t, r.at("tank.level", at), r.at("far.level", at), 1.5e-4,
			"at %v it is still where it reached no float", at)
	}
}

// The tops of the waves near a float are recorded: nothing between two points of the record is higher than its ends by
// more than a line may miss a wave.
func TestTopsAreRecorded(t *testing.T) {
	r := open(t, read(t, swinging(", slosh: {height: 15 mm, damping: 50 %}"))) // grown after a wave
	r.drive("fill", true)
	r.run(80 * signal.Second)
	r.end()
	id, _ := r.trace.Find("high.level")
	c := r.trace.Column(id)
	tops := 0
	for i, at := range c.At {
		mean := r.at("tank.level", at)
		assert.LessOrEqual(t, math.Abs(c.Value[i]-mean), 0.0150001,
			"the water at the float is further from still water than its crests")
		if c.Value[i]-mean > 0.01499 {
			tops++
		}
	}
	assert.Greater(t, tops, 10, "tops of 15 mm that are recorded while they are near the float")
}

func TestSloshKeepsTheMeanLevel(t *testing.T) {
	calm, rough := open(t, read(t, swinging(""))), open(t, read(t, swinging(", slosh: {height: 15 mm}")))
	for _, r := range []*rig{calm, rough} {
		r.drive("fill", true)
		r.run(100 * signal.Second)
		r.drive("fill", false)
		r.run(200 * signal.Second)
		r.end()
		out, err := r.site.Balance(r.trace)
		require.NoError(t, err)
		assert.InDelta(t, 0, out, 1e-6)
	}
	assert.InDelta(t, calm.last("tank.level"), rough.last("tank.level"), 1e-6, "waves move no water")
	assert.Len(t, calm.changes("high.operated", 1), 1, "calm water operates a float once")
	_, shown := calm.trace.Find("high.level")
	assert.False(t, shown, "still water has no level of its own at a float")
}

// The knob does what the key does, and the jet's estimate grows with the inflow.
func TestSloshByKnobAndByJet(t *testing.T) {
	operations := func(slosh string, knob float64) int {
		r := open(t, read(t, swinging(slosh)))
		if knob > 0 {
			r.open("tank", "slosh", knob)
		}
		r.drive("fill", true)
		r.run(2 * signal.Minute)
		return len(r.changes("high.operated", 1))
	}
	assert.Greater(t, operations("", 0.015), 5, "a knob of 15 mm")
	assert.Greater(t, operations(", slosh: {}", 0), 3, "the jet of a 10 mm inlet at several litres a minute")
	assert.Equal(t, 1, operations("", 0))
}

func TestSwingingIsNotObserved(t *testing.T) {
	run := func(extra bool) *signal.Trace {
		r := open(t, read(t, swinging(", slosh: {}")))
		r.drive("fill", true)
		for i := range signal.Time(400) {
			if extra {
				r.run(i*300*signal.Millisecond + i*7919)
			}
		}
		r.run(2 * signal.Minute)
		return r.end()
	}
	same(t, run(false), run(true), "sloshing water, observed four hundred times more")
}
