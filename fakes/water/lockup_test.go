package water_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/water"
)

// regulated is a regulator on mains of 40 m, set to 10 m, that locks up 2 m above it and holds its setting from 1 L/min
// on; behind it a valve and a nozzle, beside it a seat that is shut.
func regulated(t *testing.T) (s *water.Solver, behind water.Node, link, valve, seat water.Link, nozzle water.Outlet) {
	var n water.Network
	tap, node, end := n.Junction("tap", 0, 0), n.Junction("behind", 0, 0), n.Junction("end", 0, 0)
	n.Supply("mains", tap, water.Inflow{Static: 40, Residual: 30, Flow: 5e-4})
	link = n.Regulator("regulator", tap, node, 10, 2)
	n.LockUp(link, 2, 1/60e3)
	seat = n.Valve("seat", tap, node, 0)
	valve = n.Valve("valve", node, end, 0)
	nozzle = n.Emitter("nozzle", end, water.Emitter{Coefficient: 1e-4, Exponent: 0.5})
	return compiled(t, &n), node, link, valve, seat, nozzle
}

func TestRegulatorLocksUp(t *testing.T) {
	s, behind, link, valve, _, nozzle := regulated(t)
	require.NoError(t, s.Solve())
	assert.InDelta(t, 12, s.Head(behind), 1e-6, "at rest")
	s.SetKv(valve, 3)
	require.NoError(t, s.Solve())
	assert.InDelta(t, 10, s.Head(behind), 1e-6, "while water runs")
	before := 12.0
	for _, coefficient := range []float64{1e-8, 1e-7, 5e-7, 1e-6, 2e-6, 4e-6, 5.2e-6, 6e-6, 1e-4} {
		s.SetCoefficient(nozzle, coefficient)
		require.NoError(t, s.Solve())
		holds := 10 + 2*max(0, 1-s.Flow(link)*60e3)
		assert.InDelta(t, holds, s.Head(behind), 3e-6, "at %g L/min", s.Flow(link)*60e3)
		assert.LessOrEqual(t, s.Head(behind), before, "more flow lets it hold no more")
		before = s.Head(behind)
	}
	s.SetKv(valve, 0)
	require.NoError(t, s.Solve())
	assert.InDelta(t, 12, s.Head(behind), 1e-6, "at rest again")
}

// A supply between the setting and the lock-up comes through whole at rest, and is regulated while water runs.
func TestRegulatorLocksUpAtWhatTheSupplyHas(t *testing.T) {
	var n water.Network
	tank, node := n.Reservoir("tower", 11), n.Junction("behind", 0, 0)
	link := n.Regulator("regulator", tank, node, 10, 20)
	n.LockUp(link, 2, 1/60e3)
	nozzle := n.Emitter("nozzle", node, water.Emitter{Coefficient: 1e-5, Exponent: 0.5})
	s := compiled(t, &n)
	require.NoError(t, s.Solve())
	assert.InDelta(t, 10, s.Head(node), 1e-5)
	s.SetCoefficient(nozzle, 0)
	require.NoError(t, s.Solve())
	assert.InDelta(t, 11, s.Head(node), 1e-5)
}

// A seat that weeps lifts a closed pipe to the pressure of the supply, and nothing else while more is drawn.
func TestRegulatorCreeps(t *testing.T) {
	s, behind, _, valve, seat, _ := regulated(t)
	s.SetKv(seat, 0.002)
	require.NoError(t, s.Solve())
	assert.InDelta(t, 40, s.Head(behind), 1e-6, "nobody draws")
	s.SetKv(valve, 3)
	require.NoError(t, s.Solve())
	assert.InDelta(t, 10, s.Head(behind), 1e-6, "somebody draws")
}

// Many regulators in all kinds of networks: each settles at what its flow lets it hold.
func TestLockUpsSettle(t *testing.T) {
	for seed := range uint64(1500) {
		random := rand.New(rand.NewPCG(11, seed))
		var n water.Network
		node := n.Junction("tap", 0, 0)
		n.Supply("mains", node, water.Inflow{Static: 20 + 40*random.Float64(), Residual: 10, Flow: 5e-4})
		type regulator struct {
			link                 water.Link
			before, behind       water.Node
			setting, rise, below float64
		}
		var regulators []regulator
		for range 1 + random.IntN(3) {
			next := n.Junction("node", 3*random.Float64(), 0)
			r := regulator{before: node, behind: next, setting: 3 + 15*random.Float64(), rise: 5 * random.Float64(),
				below: math.Pow(10, -6+2*random.Float64())}
			r.link = n.Regulator("regulator", node, next, r.setting, 1+3*random.Float64())
			n.LockUp(r.link, r.rise, r.below)
			regulators = append(regulators, r)
			n.Emitter("nozzle", next, water.Emitter{Coefficient: math.Pow(10, -8+4*random.Float64()), Exponent: 0.5,
				Height: random.Float64() * 8})
			if random.IntN(2) == 0 {
				n.Valve("seat", node, next, math.Pow(10, -4+3*random.Float64()))
			}
			if random.IntN(2) == 0 {
				node = next
			}
		}
		s := compiled(t, &n)
		require.NoError(t, s.Solve(), "network %d", seed)
		for _, r := range regulators {
			holds := r.setting + r.rise*max(0, 1-s.Flow(r.link)/r.below)
			switch s.State(r.link) {
			case water.Active:
				assert.InDelta(t, holds, s.Height(r.behind), 1e-4, "network %d", seed)
			case water.Open:
				assert.LessOrEqual(t, s.Height(r.behind), holds+1e-4, "network %d", seed)
			case water.Closed:
				assert.True(t, s.Height(r.behind) >= holds-1e-4 || s.Head(r.behind) >= s.Head(r.before)-1e-4,
					"network %d: it shuts although it could hold more", seed)
			}
		}
	}
}
