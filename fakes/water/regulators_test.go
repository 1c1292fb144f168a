package water_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/fakes/water"
)

// Regulators in series and side by side, with bypasses that may feed one from
// behind: every such network settles, and every regulator is in the state that
// suits its heads and its flow. The networks are many and always the same.
func TestRegulatorsWithBypassesSettle(t *testing.T) {
	for seed := range uint64(6000) {
		random := rand.New(rand.NewPCG(7, seed))
		var n water.Network
		type regulator struct {
			link         water.Link
			before, node water.Node
			setting      float64
		}
		var regulators []regulator
		nodes := []water.Node{n.Junction("tap", 0, 0)}
		static := 10 + 50*random.Float64()
		n.Supply("mains", nodes[0], water.Inflow{Static: static, Residual: static - 5, Flow: 5e-4})
		count := 3 + random.IntN(6)
		for i := 1; i < count; i++ {
			node := n.Junction(fmt.Sprint("node ", i), 5*random.Float64(), 0)
			from, kv := nodes[i-1-random.IntN(min(i, 2))], 0.3+5*random.Float64()
			if random.IntN(3) == 0 {
				n.Valve(fmt.Sprint("valve ", i), from, node, kv)
			} else {
				setting := 3 + 25*random.Float64()
				link := n.Regulator(fmt.Sprint("regulator ", i), from, node, setting, kv)
				regulators = append(regulators, regulator{link, from, node, setting})
			}
			if random.IntN(2) == 0 {
				n.Emitter(fmt.Sprint("nozzle ", i), node, water.Emitter{Coefficient: 1e-5 + 1e-4*random.Float64(),
					Exponent: 0.5})
			}
			nodes = append(nodes, node)
		}
		for range 1 + random.IntN(3) {
			a := random.IntN(count - 1)
			b := a + 1 + random.IntN(count-1-a)
			if kv := 0.3 + 5*random.Float64(); random.IntN(2) == 0 {
				n.Valve("bypass", nodes[a], nodes[b], kv)
			} else {
				n.NonReturn("flap", nodes[a], nodes[b], kv)
			}
		}
		s := compiled(t, &n)
		require.NoError(t, s.Solve(), "network %d", seed)
		for _, r := range regulators {
			before, behind, flow := s.Head(r.before), s.Height(r.node), s.Flow(r.link)
			what := fmt.Sprintf("regulator %d of network %d, %v, %v m before it, %v m behind it, set to %v m", r.link,
				seed, s.State(r.link), before, behind, r.setting)
			require.GreaterOrEqual(t, flow, 0.0, what)
			switch s.State(r.link) {
			case water.Active:
				require.InDelta(t, r.setting, behind, 1e-7, what)
				require.GreaterOrEqual(t, before, s.Head(r.node)-1e-7, what)
			case water.Open:
				require.LessOrEqual(t, behind, r.setting+1e-7, what)
			case water.Closed:
				require.False(t, behind < r.setting-1e-6 && before > s.Head(r.node)+1e-6 && !s.Isolated(r.before), what)
			}
		}
	}
}
