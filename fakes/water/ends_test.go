package water_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/fakes/water"
)

// Water that has nowhere to go stands, to the last digit, whatever the pressure is and was: before a shut valve, before
// an outlet that has no pressure, and in a stub beside water that runs.
func TestWaterInDeadEndsStands(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var n water.Network
		street, house, tee := n.Junction("street", 0, 0), n.Junction("house", 1, 0), n.Junction("tee", 0.5, 0)
		supply := n.Supply("mains", street, water.Inflow{Static: 36, Residual: 24, Flow: 5e-4, TakesBack: true})
		kv := rapid.Float64Range(0.5, 20)
		dead := []water.Link{n.Valve("meter", street, house, kv.Draw(t, "meter")),
			n.SpringLoaded("preventer", house, tee, kv.Draw(t, "preventer"), 0)}
		stub := n.Pipe("stub", house, n.Junction("cap", 0, 0), water.Pipe{Length: 3, Bore: 0.02, HazenWilliams: 150})
		dead = append(dead, stub)
		from := tee
		for i := range rapid.IntRange(0, 4).Draw(t, "parts") {
			to := n.Junction("end", rapid.Float64Range(0, 3).Draw(t, "height"), 0)
			if rapid.Bool().Draw(t, "is a pipe") {
				dead = append(dead, n.Pipe("pipe", from, to, water.Pipe{Length: 20, Bore: 0.02, Roughness: 7e-6}))
			} else {
				dead = append(dead, n.Valve("valve", from, to, kv.Draw(t, "kv")))
			}
			if i > 0 && rapid.Bool().Draw(t, "branches") {
				continue
			}
			from = to
		}
		end := n.Junction("nozzle", 5, 0)
		shut := n.Valve("shut", from, end, 0)
		nozzle := n.Emitter("nozzle", end, water.Emitter{Coefficient: 2 * litre, Exponent: 0.5})
		s, err := n.Compile()
		require.NoError(t, err)
		for _, static := range rapid.SliceOfN(rapid.Float64Range(0, 250), 1, 6).Draw(t, "static") {
			s.SetStatic(supply, static)
			require.NoError(t, s.Solve())
			assert.Zero(t, s.Inflow(supply), "the mains at %v m give water to a shut valve", static)
			for _, link := range dead {
				assert.Zero(t, s.Flow(link), "water runs to a shut valve at %v m", static)
			}
		}
		s.SetKv(shut, 2)
		for _, static := range []float64{30, 2, 60} { // 2 m do not lift it to the nozzle
			s.SetStatic(supply, static)
			require.NoError(t, s.Solve())
			assert.Equal(t, static > 5, s.Outflow(nozzle) > 0, "the nozzle at %v m", static)
			assert.Equal(t, static > 5, s.Inflow(supply) > 0, "the mains at %v m", static)
			assert.InDelta(t, s.Outflow(nozzle), s.Inflow(supply), 1e-9*s.Inflow(supply))
			assert.Zero(t, s.Flow(stub), "water runs into a stub")
		}
	})
}
