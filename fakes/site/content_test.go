package site_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/harness/signal"
)

// inclined is a line of 60 m of 26 mm that falls by 3.8 m from its valve to a tank of 0.48 m².
func inclined(height string) string {
	return `site: inclined
supplies:
  - {name: mains, static: 3 bar, residual: 2 bar, at: 40 L/min, height: 5 m}
valves:
  - {name: fill, from: mains, capacity: 3 m3/h, opens: 500 ms, closes: 1 s, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
pipes:
  - {name: line, from: fill, length: 60 m, bore: 26 mm, ` + height + `}
outlets:
  - {name: inlet, from: line, bore: 20 mm, ` + height + `, into: tank, air-gap: 40 mm}
tanks:
  - {name: tank, length: 800 mm, width: 600 mm, rim: 1100 mm, starts: 600 mm}
` + controllerOf([]string{"fill"}, nil)
}

// What an inclined line holds runs into its tank after its valve has shut, and the line is filled before any water comes
// out of it.
func TestAnInclinedLineRunsOutIntoItsTank(t *testing.T) {
	held := math.Pi / 4 * 0.026 * 0.026 * 60 // 31.9 L
	c := accuracy.New(t, accuracy.Row{
		Computation: "water of an inclined line that runs into its tank after the valve has shut",
		Equation:    "rise = π/4 bore² length / area; the first water comes when that volume has been let in",
		Source:      "continuity, with the volume of a full pipe; by hand in the test (recomputed)",
		Tolerance:   1e-5,
	})
	r := open(t, read(t, inclined("height: 1.2 m")))
	c.Near(held, r.last("fill.air"), "the air in the line at first: it has run out long ago")
	r.drive("fill", true)
	r.run(4 * signal.Minute)
	first := r.first("inlet.flow", 1e-5)
	let := r.integral("fill.flow", first)
	c.Near(held, let, "what has been let in when the first water comes out")
	assert.Greater(t, first, 20*signal.Second, "so much is not let in at once")
	assert.InDelta(t, 0, r.last("fill.air"), 1e-9, "a line that runs is full")
	r.drive("fill", false)
	r.run(r.now + 2*signal.Second)
	shut := r.last("tank.level")
	r.run(r.now + 5*signal.Second)
	assert.Less(t, r.last("tank.level")-shut, 0.03, "it does not run out at once")
	r.run(r.now + signal.Hour)
	r.end()
	assert.InDelta(t, held/0.48, r.last("tank.level")-shut, 0.004, "66 mm")
	c.Near(held, r.last("fill.air"), "the air in the line at last")
	out, err := r.site.Balance(r.trace)
	require.NoError(t, err)
	assert.InDelta(t, 0, out, 1e-9, "the water in the pipes is part of the balance")
}

// first is the first moment at which a signal is above a value.
func (r *rig) first(name string, above float64) signal.Time {
	id, _ := r.trace.Find(name)
	for v, i := r.trace.View(id), 0; i < v.Len(); i++ {
		if v.Value(i) > above {
			return v.Time(i)
		}
	}
	return signal.Never
}

// integral is that of a linear signal until a moment at which it has a point.
func (r *rig) integral(name string, until signal.Time) (sum float64) {
	id, _ := r.trace.Find(name)
	for v, i := r.trace.View(id), 1; i < v.Len() && v.Time(i) <= until; i++ {
		sum += (v.Time(i) - v.Time(i-1)).Seconds() * (v.Value(i) + v.Value(i-1)) / 2
	}
	return sum
}
