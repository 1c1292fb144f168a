package site_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/accuracy"
	"ullage/harness/signal"
)

// A filter that takes the whole pressure blocks itself: its flow falls with its capacity, the capacity with what has
// passed.
func TestAFilterThatBlocksItself(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "loading of a filter at a constant pressure",
		Equation:  "complete blocking, 1 - V/B = exp(-Kv √(Δp/1 bar) t/B), Hermia 1982 (from memory)",
		Source:    "closed form of dV/dt = Kv (1 - V/B) √(Δp/1 bar), worked in the test; the site steps along the time",
		Tolerance: 1e-3})
	r := open(t, read(t, `site: filter
supplies:
  - {name: mains, static: 4 bar, residual: 3.99999 bar, at: 10000 L/min}
filters:
  - {name: filter, from: mains, capacity: 1 m3/h, blocks-after: 1 m3}
valves:
  - {name: valve, from: filter, capacity: 1000 m3/h, opens: 500 ms, closes: 1 s, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
outlets:
  - {name: end, from: valve, flow: 10000 L/min, at: 0.01 bar}
`+controllerOf([]string{"valve"}, nil)))
	r.drive("valve", true)
	r.run(2 * signal.Hour)
	r.end()
	first := 1 - r.at("filter.loading", 5*signal.Minute)
	for _, minutes := range []signal.Time{10, 30, 60, 90} {
		passage := 1 - r.at("filter.loading", minutes*signal.Minute)
		c.Near(first*math.Exp(-2.0/3600*float64(minutes-5)*60), passage, "passage left after %d min, of that at 5 min",
			minutes)
	}
}

// What is blocked as far as it can be loads no further: a pressure that changes then asks for no short steps.
func TestABlockedFilterTakesFewSteps(t *testing.T) {
	r := open(t, read(t, `site: filter
supplies:
  - {name: mains, static: 4 bar, residual: 1 bar, at: 100 L/min, daily: [{from: "00:10", share: 50 %, over: 1 h}, {from: "02:00", share: 100 %}]}
filters:
  - {name: filter, from: mains, capacity: 100 m3/h, blocks-after: 1 L}
valves:
  - {name: valve, from: filter, capacity: 1000 m3/h, opens: 500 ms, closes: 1 s, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
outlets:
  - {name: end, from: valve, flow: 100 L/min, at: 1 bar}
`+controllerOf([]string{"valve"}, nil)))
	r.drive("valve", true)
	r.run(2 * signal.Hour)
	id, _ := r.end().Find("filter.flow")
	assert.Less(t, len(r.trace.Column(id).At), 2000, "a blocked filter takes too many steps")
}
