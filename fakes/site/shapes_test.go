package site_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/fakes/pipework"
	"ullage/fakes/site"
	"ullage/harness/fault"
	"ullage/harness/signal"
)

// drawShape draws a tank of any shape that is 1 m high at least and not so narrow that a hose empties it in a second.
func drawShape(t *rapid.T) string {
	length := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
	switch rapid.IntRange(0, 3).Draw(t, "shape") {
	case 0:
		return fmt.Sprintf("length: %.4g m, width: %.4g m", length("length", 0.4, 3), length("width", 0.4, 3))
	case 1:
		return fmt.Sprintf("diameter: %.4g m", length("diameter", 0.4, 3))
	case 2:
		return fmt.Sprintf("length: %.4g m, diameter: %.4g m", length("length", 0.4, 3), length("diameter", 1, 3))
	}
	rows := []string{"{level: 0 mm, volume: 0 L}"}
	level, volume := 0.0, 0.0
	for level < 1 {
		level += length("rise", 0.02, 0.6)
		volume += length("more", 20, 400)
		rows = append(rows, fmt.Sprintf("{level: %.5g m, volume: %.7g L}", level, volume))
	}
	return "table: [" + strings.Join(rows, ", ") + "]"
}

// Whatever the shapes of two tanks, of which one runs into the other by a hose under water and is fed from a mains that
// may suck: water is neither lost nor made, no tank holds less than nothing, and the run goes on.
func TestTanksOfAnyShapeBalance(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := open(rt, read(rt, fmt.Sprintf(`site: shapes
supplies:
  - {name: mains, static: 2 bar, residual: 1 bar, at: 20 L/min}
tanks:
  - {name: upper, floor: 2 m, %s, rim: 950 mm, weir: {crest: 850 mm, width: 120 mm}, starts: %.4g mm}
  - {name: lower, %s, rim: 900 mm, standpipe: {crest: 800 mm, bore: 40 mm}, starts: %.4g mm, draws: [{from: "00:10", to: "00:40", flow: 6 L/min}]}
outlets:
  - {name: fill, from: mains, bore: 12 mm, into: upper, dips: %.4g mm}
  - {name: hose, from: upper, bore: 15 mm, into: lower, dips: %.4g mm}
`, drawShape(rt), rapid.Float64Range(0, 950).Draw(rt, "upper"), drawShape(rt), rapid.Float64Range(0, 900).Draw(rt, "lower"),
			rapid.Float64Range(1, 900).Draw(rt, "fill"), rapid.Float64Range(1, 850).Draw(rt, "hose"))+controllerOf(nil,
			nil)))
		for range rapid.IntRange(1, 5).Draw(rt, "acts") {
			knobs := []struct {
				device, name string
				most         float64
			}{{"mains", "suction", 0.9e5}, {"mains", "pressure factor", 1.5}, {"upper", "hole", 1e-3}, {"upper",
				"hole height", 1},
				{"lower", "inflow", 2e-3}, {"lower", "draw", 2e-3}, {"upper", "weir", 1}, {"lower", "standpipe", 1}}
			k := rapid.SampledFrom(knobs).Draw(rt, "knob")
			r.open(k.device, k.name, rapid.Float64Range(0, k.most).Draw(rt, "value"))
			r.run(r.now + signal.Time(rapid.Int64Range(1e9, 900e9).Draw(rt, "ns")))
		}
		r.end()
		out, err := r.site.Balance(r.trace) // rounding in acts of nanoseconds is left out
		if !errors.Is(err, site.ErrNothingMoved) {
			require.NoError(rt, err)
			assert.InDelta(rt, 0, out, 1e-6, "the water does not balance")
		}
		back, _ := r.trace.Find("mains.returned category 5")
		assert.InDelta(rt, r.last("mains.returned"), r.trace.At(back, r.now), 1e-9,
			"what comes back comes out of the upper tank")
		for _, tank := range []string{"upper", "lower"} {
			id, _ := r.trace.Find(tank + ".level")
			c := r.trace.Column(id)
			for i, level := range c.Value {
				require.GreaterOrEqual(rt, level, -1e-8, "%s holds less than nothing at %v", tank, c.At[i])
			}
		}
	})
}

// A leak that is named by its flow at the rim gives that flow when the water stands there.
func TestLeakOfAFlow(t *testing.T) {
	r := open(t, read(t, tankOnly("880 mm")))
	bore := fault.LeakHole(2*litrePerMinute, 0.88)
	r.open("tank", "standpipe", 0)
	r.open("tank", "hole", math.Pi/4*bore*bore)
	assert.InEpsilon(t, 2*litrePerMinute, r.last("tank.leak"), 1e-9)
	assert.InEpsilon(t, 2*litrePerMinute, pipework.HoleFlow(math.Pi/4*bore*bore)*math.Sqrt(0.88), 1e-9)
}
