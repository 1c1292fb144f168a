package water_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/water"
)

// metresPerBar is the head of 1 bar.
var metresPerBar = 1e5 / (water.Standard().Density * water.Standard().Gravity)

// throttled is a diaphragm between two resistances on a supply that no flow weakens, its last one open to the air.
func throttled(t require.TestingT, static, before, kv, lift, behind float64) (s *water.Solver, valve water.Link) {
	var n water.Network
	source, inlet := n.Reservoir("source", static), n.Junction("inlet", 0, 0)
	outlet, air := n.Junction("outlet", 0, 0), n.Reservoir("air", 0)
	n.Valve("before", source, inlet, before)
	valve = n.Diaphragm("valve", inlet, outlet, lift)
	n.NonReturn("behind", outlet, air, behind)
	s, err := n.Compile()
	require.NoError(t, err)
	s.SetKv(valve, kv)
	return s, valve
}

// A diaphragm takes its lift from the flow as long as it is not fully up. What flows then is
// sqrt(static - lift) over the root of the resistances, and sqrt(static) over the root of all three where that gives
// the greater loss.
func TestDiaphragmTakesItsLift(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "flow through a pilot-operated valve that throttles",
		Equation:  "Δp = max(lift, (q/Kv)²) between two resistances of Kv",
		Source:    "closed form: q = √((p − lift)/ΣKv⁻²) where it rides, q = √(p/ΣKv⁻²) where it is fully up (IEC 60534-2-1 for Kv), recomputed",
		Tolerance: 1e-4})
	for _, static := range []float64{0.2, 0.31, 0.35, 0.51, 0.8, 1.5, 3, 6} {
		for _, kv := range []float64{0.5, 2, 15} {
			for _, lift := range []float64{0.1, 0.3, 0.5} {
				s, valve := throttled(t, static*metresPerBar, 1.5, kv, lift*metresPerBar, 1.2)
				require.NoError(t, s.Solve())
				others := 1/(1.5*1.5) + 1/(1.2*1.2)
				flow := math.Sqrt(math.Max(0, static-lift) / others)
				if full := math.Sqrt(static / (others + 1/(kv*kv))); full/kv > math.Sqrt(lift) {
					flow = full
				}
				c.Near(flow, s.Flow(valve)*3600, "static %g bar, Kv %g, lift %g bar", static, kv, lift)
			}
		}
	}
}

// The flow through a diaphragm never falls when the pressure before it rises, and begins where it lifts.
func TestFlowThroughADiaphragmIsMonotone(t *testing.T) {
	last := 0.0
	for static := 0.0; static < 40; static += 0.01 {
		s, valve := throttled(t, static, 3, 4, 3, 2)
		require.NoError(t, s.Solve())
		flow := s.Flow(valve)
		assert.GreaterOrEqual(t, flow, last, "with %g m before it", static)
		assert.Equal(t, static > 3+1e-9, flow > 0, "with %g m before it, and 3 m that lift it", static)
		last = flow
	}
}

// A gap that something keeps open passes what it passes; above its lift the disc rises over it.
func TestDiaphragmOverAGap(t *testing.T) {
	for _, c := range []struct{ static, flow float64 }{
		{0.09, 0.1 * math.Sqrt(0.09)}, {0.25, 0.1 * math.Sqrt(0.25)}, {-0.16, -0.1 * math.Sqrt(0.16)},
	} {
		var n water.Network
		source, air := n.Reservoir("source", c.static*metresPerBar), n.Reservoir("air", 0)
		valve := n.Diaphragm("valve", source, air, 0.3*metresPerBar)
		s := compiled(t, &n)
		s.SetOpening(valve, 0.1, 5)
		require.NoError(t, s.Solve())
		assert.InDelta(t, c.flow, s.Flow(valve)*3600, 1e-9, "with %g bar", c.static)
		s.SetOpening(valve, 0, 0)
		require.NoError(t, s.Solve())
		assert.Zero(t, s.Flow(valve))
	}
}

// Diaphragms in series and side by side among regulators, valves and flaps, some with a gap: every such network settles,
// and the loss over every diaphragm is what its law says. The networks are many and always the same.
func TestNetworksOfDiaphragmsSettle(t *testing.T) {
	rides := 0
	for seed := range uint64(1500) {
		random := rand.New(rand.NewPCG(11, seed))
		type diaphragm struct {
			link              water.Link
			from, to          water.Node
			least, most, lift float64
		}
		var n water.Network
		var discs []diaphragm
		nodes := []water.Node{n.Junction("tap", 0, 0)}
		static := 1 + 40*random.Float64()
		n.Supply("mains", nodes[0], water.Inflow{Static: static, Residual: static * random.Float64(), Flow: 5e-4})
		count := 3 + random.IntN(8)
		add := func(name string, from, to water.Node) {
			kv := 0.3 + 5*random.Float64()
			switch random.IntN(6) {
			case 0:
				n.Valve(name, from, to, kv)
			case 1:
				n.NonReturn(name, from, to, kv)
			case 2:
				n.Pipe(name, from, to, water.Pipe{Length: 1 + 50*random.Float64(), Bore: 0.02, HazenWilliams: 150})
			default:
				d := diaphragm{from: from, to: to, most: kv, lift: 0.5 + 4*random.Float64()}
				d.least = max(0, random.Float64()-0.7) * kv
				d.link = n.Diaphragm(name, from, to, d.lift)
				discs = append(discs, d)
			}
		}
		for i := 1; i < count; i++ {
			node := n.Junction(fmt.Sprint("node ", i), 5*random.Float64(), 0)
			add(fmt.Sprint("link ", i), nodes[i-1-random.IntN(min(i, 3))], node)
			if random.IntN(2) == 0 {
				n.Emitter(fmt.Sprint("nozzle ", i), node, water.Emitter{Coefficient: 1e-5 + 2e-4*random.Float64(),
					Exponent: 0.5})
			}
			nodes = append(nodes, node)
		}
		for range 1 + random.IntN(4) {
			a := random.IntN(count - 1)
			add("loop", nodes[a], nodes[a+1+random.IntN(count-1-a)])
		}
		s := compiled(t, &n)
		for _, d := range discs {
			s.SetOpening(d.link, d.least, d.most)
		}
		require.NoError(t, s.Solve(), "network %d", seed)
		for _, d := range discs {
			flow, drop := s.Flow(d.link)*3600, s.Head(d.from)-s.Head(d.to)
			square := func(kv float64) float64 { return math.Copysign(flow*flow/(kv*kv), flow) * metresPerBar }
			want := math.Max(square(d.most), d.lift)
			if d.least > 0 {
				want = math.Max(square(d.most), math.Min(square(d.least), d.lift))
			}
			if flow < 0 {
				want = square(d.least)
			}
			what := fmt.Sprintf("network %d, diaphragm %+v, flow %g m3/h, loss %g m", seed, d, flow, drop)
			switch {
			case s.Isolated(d.from) || s.Isolated(d.to):
				require.Zero(t, flow, what)
			case flow == 0:
				require.LessOrEqual(t, drop, d.lift+1e-7, what)
			default:
				require.InDelta(t, want, drop, 5e-5, what)
				if drop < d.lift*1.0001 {
					rides++
				}
			}
		}
	}
	assert.Greater(t, rides, 1500, "too few networks have discs that ride")
}
