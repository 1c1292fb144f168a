package water_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/water"
)

// A siphon from a tank over a crest and down to the air: as long as the crest is wet, the whole fall drives the flow;
// when the head there has come down to that of vapour, what the first limb brings with it; when the crest is higher than
// the air presses the water, nothing.
func TestSiphonBreaksOff(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "siphon at the limit of vapour",
		Equation:  "q = min(√((h − b)/ΣKv⁻²), Kv₁√(h − z + (pₐ − pᵥ)/ρg))",
		Source:    "closed form of two limbas of Kv, by hand (any handbook on siphons and cavitation), recomputed",
		Tolerance: 1e-6})
	const surface, limit = 2.0, 10.1
	for _, outlet := range []float64{1, -3, -10, -14} {
		for _, height := range []float64{3, 8, 10, 11, 11.9, 12.05, 12.15, 13, 18} {
			var n water.Network
			tank, before := n.Reservoir("tank", surface), n.Junction("crest before", height, 0)
			behind, air := n.Junction("crest behind", height, 0), n.Reservoir("air", outlet)
			up := n.Valve("up", tank, before, 2)
			top := n.Crest("crest", before, behind, height-limit)
			n.NonReturn("down", behind, air, 3)
			s := compiled(t, &n)
			require.NoError(t, s.Solve())
			full := math.Sqrt((surface - outlet) / metresPerBar / (1/4.0 + 1/9.0))
			most := 2 * math.Sqrt(math.Max(0, surface-height+limit)/metresPerBar)
			c.Near(math.Min(full, most), s.Flow(up)*3600, "crest at %g m, outlet at %g m", height, outlet)
			if full < most {
				assert.Equal(t, water.Open, s.State(top))
			} else {
				assert.NotEqual(t, water.Open, s.State(top), "crest at %g m, outlet at %g m", height, outlet)
			}
		}
	}
}

// What is behind a crest may be shut, run backwards, or stand higher.
func TestCrestAmongOthers(t *testing.T) {
	for _, x := range []struct {
		name          string
		surface, sink float64
		valve         float64
		flow          float64
	}{
		{"a valve behind it is shut", 2, -20, 0, 0},
		{"and stays shut over the limit", 0, -20, 0, 0},
		{"it runs backwards", -20, 12, 3, -math.Sqrt(32 / metresPerBar / (1/4.0 + 1/9.0))},
		{"little is missing", 1.9, -20, 3, 0},
	} {
		var n water.Network
		tank, before := n.Reservoir("tank", x.surface), n.Junction("before", 12.1, 0)
		behind, sink := n.Junction("behind", 12.1, 0), n.Reservoir("sink", x.sink)
		up := n.Valve("up", tank, before, 2)
		n.Crest("crest", before, behind, 2)
		down := n.Valve("down", behind, sink, 3)
		s := compiled(t, &n)
		for _, kv := range []float64{3, x.valve, 3, x.valve} { // whatever it was before
			s.SetKv(down, kv)
			require.NoError(t, s.Solve(), x.name)
		}
		assert.InDelta(t, x.flow, s.Flow(up)*3600, 1e-5, x.name)
	}
}
