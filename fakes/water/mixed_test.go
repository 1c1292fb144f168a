package water_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/fakes/water"
)

// plant is a network with one of every part: mains, non-return valve, top-up
// through an air gap, overflows, pump, filter, regulator, drippers.
type plant struct {
	solver                                       *water.Solver
	supply                                       water.Supply
	tank, catch                                  water.Node
	check, spray, topUp, pump, filter, regulator water.Link
	links                                        []water.Link
	nozzles, gap, standpipe, rim, drippers       water.Outlet
	junctions                                    []water.Node
}

func newPlant(t require.TestingT) *plant {
	var n water.Network
	p := &plant{}
	at := func(name string, elevation float64) water.Node {
		node := n.Junction(name, elevation, 0)
		p.junctions = append(p.junctions, node)
		return node
	}
	tap, manifold, bed, end := at("tap", 0), at("manifold", 0.5), at("bed", 1), at("end of fill pipe", 2.2)
	suction, delivery, filtered, zone := at("suction", 0.9), at("delivery", 0.9), at("filtered", 1), at("zone", 1)
	p.supply = n.Supply("mains", tap, water.Inflow{Static: 36, Residual: 24, Flow: 30 * litre})
	p.tank = n.Tank("tank", 1, water.Upright(0.4))
	p.catch = n.Tank("catch", 0, water.Upright(0.2))
	p.check = n.NonReturn("check", tap, manifold, 4)
	p.spray = n.Valve("sprays", manifold, bed, 3)
	p.topUp = n.Valve("top-up", manifold, end, 2)
	pipe := n.Pipe("suction pipe", p.tank, suction, water.Pipe{Length: 1, Bore: 0.0326, Roughness: 7e-6, Minor: 2})
	p.pump = n.Pump("pump", suction, delivery, water.Pump{Points: []water.Point{{Flow: 20 * litre, Head: 20}}})
	p.filter = n.Valve("filter", delivery, filtered, 5)
	p.regulator = n.Regulator("regulator", filtered, zone, 10, 3)
	p.links = []water.Link{p.check, p.spray, p.topUp, pipe, p.pump, p.filter, p.regulator}
	p.nozzles = n.Emitter("nozzles", bed, water.Emitter{Coefficient: 0.6 * litre, Exponent: 0.5, Count: 8})
	p.gap = n.Emitter("open end", end, water.Emitter{Coefficient: 15 * litre, Exponent: 0.5, Into: p.tank})
	p.standpipe = n.Standpipe("standpipe", p.tank, water.Standpipe{Crest: 0.8, Bore: 0.04, Into: p.catch})
	p.rim = n.Weir("rim", p.tank, water.Weir{Crest: 0.9, Length: 2})
	p.drippers = n.Emitter("drippers", zone, water.Emitter{Coefficient: 2.0 / 60 * litre, Exponent: 0.05, Count: 48})
	solver, err := n.Compile()
	require.NoError(t, err)
	p.solver = solver
	return p
}

// Whatever its parts are set to, in whatever order, the plant settles, keeps
// its water and never runs a part backwards.
func TestPlantSettlesUnderAnySettings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := newPlant(t)
		s := p.solver
		volume := rapid.Float64Range(0, 0.4).Draw(t, "volume")
		for range 8 {
			s.SetStatic(p.supply, rapid.SampledFrom([]float64{36, 36, 20, 2.1, 1, 0, -3}).Draw(t, "static"))
			s.SetKv(p.spray, rapid.SampledFrom([]float64{0, 3, 0.01}).Draw(t, "sprays"))
			s.SetKv(p.topUp, rapid.SampledFrom([]float64{0, 2, 0.01}).Draw(t, "top-up"))
			s.SetKv(p.filter, rapid.SampledFrom([]float64{5, 0.3, 0.02}).Draw(t, "filter"))
			s.SetSpeed(p.pump, rapid.SampledFrom([]float64{0, 1, 0.7, 0.2}).Draw(t, "speed"))
			s.SetSetting(p.regulator, rapid.SampledFrom([]float64{10, 3, 25}).Draw(t, "setting"))
			s.SetCoefficient(p.drippers, rapid.SampledFrom([]float64{2, 1, 0}).Draw(t, "drippers")/60*litre)
			s.SetOpen(p.standpipe, rapid.SampledFrom([]float64{1, 0.5, 0}).Draw(t, "standpipe"))
			half := rapid.SampledFrom([]float64{0.01, 1, 60, 600}).Draw(t, "half")
			s.Fill(p.tank, volume, 0, half)
			s.Hold(p.catch, 0.1)
			require.NoError(t, s.Solve())
			p.requireBalance(t, volume, half)
			volume = math.Max(s.Volume(p.tank), 0)
		}
	})
}

func (p *plant) requireBalance(t require.TestingT, volume, half float64) {
	s := p.solver
	for _, node := range p.junctions {
		assert.False(t, math.IsNaN(s.Pressure(node)), "pressure at node %d", node)
	}
	for _, link := range p.links {
		if link != p.spray && link != p.topUp && link != p.filter && link != p.links[3] {
			require.GreaterOrEqual(t, s.Flow(link), 0.0, "link %d", link)
		}
	}
	near := func(want, got float64, what string) {
		// A part that bars the way back reads 0 up to 1e-12 m3/s of it.
		require.InDelta(t, want, got, 1e-9*math.Abs(want)+4e-12, what)
	}
	near(s.Inflow(p.supply), s.Flow(p.check), "tap")
	near(s.Flow(p.check), s.Flow(p.spray)+s.Flow(p.topUp), "manifold")
	near(s.Outflow(p.nozzles), s.Flow(p.spray), "bed")
	near(s.Outflow(p.gap), s.Flow(p.topUp), "end of fill pipe")
	near(s.Flow(p.links[3]), s.Flow(p.pump), "suction")
	near(s.Flow(p.pump), s.Flow(p.filter), "delivery")
	near(s.Flow(p.filter), s.Flow(p.regulator), "filtered")
	near(s.Outflow(p.drippers), s.Flow(p.regulator), "zone")
	near(s.NetInflow(p.tank), s.Outflow(p.gap)-s.Flow(p.pump)-s.Outflow(p.standpipe)-s.Outflow(p.rim), "tank")
	require.InDelta(t, half*s.NetInflow(p.tank), s.Volume(p.tank)-volume, 1e-9*half*1e-3+1e-11*half+1e-13,
		"volume of the tank")
	near(s.NetInflow(p.catch), s.Outflow(p.standpipe), "catch tank")
}

// The bits of two solutions: the same on any processor and after any build.
func TestSolutionsHaveTheSameBitsEverywhere(t *testing.T) {
	sum := uint64(14695981039346656037)
	for _, name := range []string{"n16_branched_200_hw", "n13_terraces_10pipes_dw", "n17_looped_2000_dw"} {
		r := readReference(t, name, standard())
		s := r.compile(t)
		require.NoError(t, s.Solve())
		for node := range water.Node(len(r.nodes)) {
			sum = (sum ^ math.Float64bits(s.Head(node+1))) * 1099511628211
		}
	}
	assert.Equal(t, uint64(0x156a3a6b77ab98f0), sum, "hash of heads")
}
