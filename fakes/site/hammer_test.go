package site_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/internal/surge"
	"ullage/harness/signal"
	"ullage/harness/sitefile"
)

// knocks are the figures of the surges at a valve.
func knocks(r *rig, valve string) []float64 { return r.trace.Column(must(r, valve+".surge")).Value }

// The valve of the fish house shuts in 60 ms, far less than the wave needs to the mains and back: Joukowsky's rise
// above the pressure that is left at the valve, and more as the water that friction has held back runs up and packs the
// pipe.
func TestAQuickValveKnocks(t *testing.T) {
	r := open(t, shipped(t, "fish-house-sump"))
	r.drive("top-up", true)
	r.run(10 * second)
	before := r.last("top-up.pressure")
	velocity := r.last("top-up.flow") / (math.Pi / 4 * 9e-3 * 9e-3)
	r.drive("top-up", false)
	r.run(20 * second)
	r.end()
	require.Len(t, knocks(r, "top-up"), 1, "one closing, one surge")
	speed := surge.Pipe{Length: 60, Bore: 9e-3, Wall: 1.5e-3, Modulus: 0.8e9}.Speed()
	rise := surge.Joukowsky(speed, velocity)
	assert.GreaterOrEqual(t, knocks(r, "top-up")[0], before+rise)
	assert.LessOrEqual(t, knocks(r, "top-up")[0], r.last("top-up.pressure")+rise,
		"no more than the whole static pressure and Joukowsky's rise")
	assert.Empty(t, r.trace.Column(must(r, "top-up.parted")).At,
		"the wave that comes back has lost too much on the way to part the water")
	assert.Equal(t, r.changes("top-up.open", 0)[1:], r.trace.Column(must(r, "top-up.surge")).At,
		"it is recorded when the stroke ends")
}

// A longer stroke knocks less, down to the pressure at rest. A valve that opens does not knock, one that is turned round
// while it closes only as far as it came, and one that shuts without a flow not at all.
func TestTheStrokeMakesTheKnock(t *testing.T) {
	r := open(t, shipped(t, "tern-lane"))
	last := math.Inf(1)
	r.drive("master", true)
	for _, factor := range []float64{0.02, 0.5, 1, 4, 30} {
		r.drive("sprays", true)
		r.run(r.now + 5*second)
		r.open("sprays", "closing factor", factor)
		r.drive("sprays", false)
		r.run(r.now + signal.Minute)
		r.close("sprays", "closing factor", factor)
		all := knocks(r, "sprays")
		require.Less(t, all[len(all)-1], last, "a stroke %g times as long must knock less than the one before", factor)
		last = all[len(all)-1]
	}
	assert.InDelta(t, r.last("sprays.pressure"), last, 0.15e5, "in the end little but the pressure at rest is left")
	count := len(knocks(r, "sprays"))
	r.drive("sprays", true)
	r.run(r.now + second)
	r.drive("sprays", false)
	r.run(r.now + 200*millisecond)
	r.drive("sprays", true)
	r.run(r.now + 5*second)
	require.Len(t, knocks(r, "sprays"), count+1, "a stroke that is broken off")
	assert.Less(t, knocks(r, "sprays")[count], 2.5e5, "a diaphragm that has come down by an eighth has hardly throttled")
	r.drive("master", false)
	r.run(r.now + 10*second)
	r.drive("sprays", false)
	r.run(r.now + 10*second)
	r.end()
	assert.InDelta(t, 0, knocks(r, "sprays")[len(knocks(r, "sprays"))-1], 1,
		"without a flow there is only the pressure that stands there, which is none")
}

// behindPipes is a mains, pipes of which the last is called "main", and a valve into the open that closes in 2 s.
func behindPipes(pipes ...string) string {
	return `site: line
supplies:
  - {name: mains, static: 3 bar, residual: 2.8 bar, at: 30 L/min}
pipes:
  - ` + strings.Join(pipes, "\n  - ") + `
valves:
  - {name: valve, from: main, capacity: 2 m3/h, opens: 500 ms, closes: 2 s, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
outlets:
  - {name: nozzle, from: valve, flow: 10 L/min, at: 2 bar}
` + controllerOf([]string{"valve"}, nil)
}

// shuts opens the valve and shuts it in so many times its stroke.
func shuts(t *testing.T, text string, factor float64) *rig {
	r := open(t, read(t, text))
	r.drive("valve", true)
	r.run(5 * second)
	r.open("valve", "closing factor", factor)
	r.drive("valve", false)
	r.run(20 * second)
	r.end()
	return r
}

// A stiff pipe and a quick valve: the wave that comes back is stronger than what holds the water together.
func TestTheWaterPartsAtAValve(t *testing.T) {
	text := behindPipes("{name: main, from: mains, length: 60 m, bore: 20 mm, wall: 3 mm, material: steel}")
	for factor, parts := range map[float64]int{2: 0, 0.01: 1} {
		r := shuts(t, text, factor)
		assert.Len(t, r.trace.Column(must(r, "valve.parted")).At, parts, "shut in %g s", 2*factor)
	}
}

// A pipe whose wall nobody gave is taken as rigid: no wall makes the surge higher.
func TestAPipeOfUnknownWallIsRigid(t *testing.T) {
	near := "{name: main, from: far, length: 10 m, bore: 16 mm, wall: 2 mm, material: pvc}"
	shut := func(far string) float64 {
		return knocks(shuts(t, behindPipes("{name: far, from: mains, length: 50 m, bore: 16 mm"+far+"}", near), 0.05),
			"valve")[0]
	}
	unknown := shut("")
	for _, wall := range []string{", wall: 2 mm, material: pvc", ", wall: 2 mm, material: polyethylene",
		", wall: 2 mm, material: steel"} {
		assert.Greater(t, unknown, 0.99*shut(wall), "a far pipe with%s knocks harder than a rigid one", wall)
	}
}

func TestWithoutAWallThereIsNoSurge(t *testing.T) {
	r := open(t, read(t, hose("linear")))
	_, found := r.trace.Find("valve.surge")
	assert.False(t, found, "nobody knows what its pipe is made of")
	for _, m := range []sitefile.Material{sitefile.Polyethylene, sitefile.LowDensityPolyethylene,
		sitefile.CrossLinkedPolyethylene,
		sitefile.PVC, sitefile.Copper, sitefile.Steel} {
		assert.Positive(t, surge.Modulus(string(m)), "%s has no stiffness", m)
	}
}
