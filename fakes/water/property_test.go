package water_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/fakes/water"
)

// drawn is a random network of pipes, valves and outlets on one supply, kept
// as plain data so that a test can build it in several ways and compute the
// laws again by itself.
type drawn struct {
	elevations []float64
	draws      []float64
	links      []drawnLink
	outlets    []drawnOutlet
	static     float64
}

type drawnLink struct {
	from, to int
	kind     string // pipe, valve, non-return
	length   float64
	bore     float64
	rough    bool
	kv       float64
}

type drawnOutlet struct {
	at                    int
	coefficient, exponent float64
}

func drawNetwork(t *rapid.T) drawn {
	n := rapid.IntRange(1, 14).Draw(t, "nodes")
	d := drawn{static: rapid.Float64Range(5, 60).Draw(t, "static")}
	for i := range n {
		d.elevations = append(d.elevations, rapid.Float64Range(0, 8).Draw(t, "elevation"))
		d.draws = append(d.draws, rapid.SampledFrom([]float64{0, 0, 0, 5e-6}).Draw(t, "draw"))
		if i > 0 {
			d.links = append(d.links, drawLink(t, rapid.IntRange(0, i-1).Draw(t, "parent"), i))
		}
		for range rapid.IntRange(0, 3).Draw(t, "outlets") {
			d.outlets = append(d.outlets, drawnOutlet{i, rapid.Float64Range(1e-7, 3e-5).Draw(t, "k"),
				rapid.SampledFrom([]float64{0.05, 0.1, 0.3, 0.5, 0.7, 1, 1.5}).Draw(t, "x")})
		}
	}
	if n > 2 {
		for range rapid.IntRange(0, 3).Draw(t, "loops") {
			from := rapid.IntRange(0, n-2).Draw(t, "from")
			d.links = append(d.links, drawLink(t, from, rapid.IntRange(from+1, n-1).Draw(t, "to")))
		}
	}
	t.Logf("network: %+v", d)
	return d
}

func drawLink(t *rapid.T, from, to int) drawnLink {
	return drawnLink{
		from: from, to: to,
		kind:   rapid.SampledFrom([]string{"pipe", "pipe", "pipe", "valve", "non-return"}).Draw(t, "kind"),
		length: rapid.Float64Range(0.2, 200).Draw(t, "length"),
		bore:   rapid.SampledFrom([]float64{0.0136, 0.0204, 0.028, 0.0408}).Draw(t, "bore"),
		rough:  rapid.Bool().Draw(t, "rough"),
		kv:     rapid.Float64Range(0.05, 20).Draw(t, "kv"),
	}
}

// built is a drawn network compiled, with its parts in the order of the draw.
type built struct {
	solver  *water.Solver
	nodes   []water.Node
	links   []water.Link
	outlets []water.Outlet
	supply  water.Supply
}

func (d drawn) build(t require.TestingT, order []int) built {
	var n water.Network
	b := built{links: make([]water.Link, len(d.links))}
	for i, elevation := range d.elevations {
		b.nodes = append(b.nodes, n.Junction(fmt.Sprint("node ", i), elevation, d.draws[i]))
	}
	b.supply = n.Supply("mains", b.nodes[0], water.Inflow{Static: d.static, Residual: d.static - 3, Flow: 5e-4})
	for _, i := range order {
		link, name := d.links[i], fmt.Sprint("link ", i)
		from, to := b.nodes[link.from], b.nodes[link.to]
		switch link.kind {
		case "pipe":
			pipe := water.Pipe{Length: link.length, Bore: link.bore, HazenWilliams: 150}
			if link.rough {
				pipe.HazenWilliams, pipe.Roughness = 0, 7e-6
			}
			b.links[i] = n.Pipe(name, from, to, pipe)
		case "valve":
			b.links[i] = n.Valve(name, from, to, link.kv)
		case "non-return":
			b.links[i] = n.NonReturn(name, from, to, link.kv)
		}
	}
	for i, o := range d.outlets {
		b.outlets = append(b.outlets, n.Emitter(fmt.Sprint("outlet ", i), b.nodes[o.at],
			water.Emitter{Coefficient: o.coefficient, Exponent: o.exponent}))
	}
	solver, err := n.Compile()
	require.NoError(t, err)
	b.solver = solver
	return b
}

func (d drawn) inOrder() []int {
	order := make([]int, len(d.links))
	for i := range order {
		order[i] = i
	}
	return order
}

// What a solve returns must balance at every node and obey the law of every
// part, computed anew here with the standard math package.
func TestSolutionsObeyContinuityAndEveryLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawNetwork(t)
		b := d.build(t, d.inOrder())
		require.NoError(t, b.solver.Solve())
		d.requireLaws(t, b)
	})
}

func (d drawn) requireLaws(t require.TestingT, b built) {
	s, k := b.solver, water.Standard()
	excess := make([]float64, len(d.elevations))
	excess[0] = s.Inflow(b.supply)
	for i, draw := range d.draws {
		excess[i] -= draw
	}
	for i, link := range d.links {
		q := s.Flow(b.links[i])
		excess[link.from] -= q
		excess[link.to] += q
		if s.Isolated(b.nodes[link.from]) || s.Isolated(b.nodes[link.to]) {
			require.Zero(t, q, "link %d of an isolated part", i)
			continue
		}
		drop := s.Head(b.nodes[link.from]) - s.Head(b.nodes[link.to])
		if s.State(b.links[i]) != water.Open {
			require.LessOrEqual(t, drop, 1e-8, "closed link %d would flow forward", i)
			continue
		}
		want := link.loss(q, k)
		require.InDelta(t, want, drop, 2e-8+2e-9*math.Abs(want), "head lost in link %d, a %s, at %v m3/s", i, link.kind,
			q)
	}
	for i, o := range d.outlets {
		q := s.Outflow(b.outlets[i])
		excess[o.at] -= q
		if p := s.Height(b.nodes[o.at]); p > 2e-6 {
			want := o.coefficient * math.Pow(p, o.exponent)
			require.InDelta(t, 1, math.Pow(q/o.coefficient, 1/o.exponent)/p, 2e-8/p+2e-9,
				"outlet %d gives %v, %v expected at %v m", i, q, want, p)
		} else if p < 0 {
			require.LessOrEqual(t, q, 2e-13, "outlet %d without pressure", i)
		}
	}
	for i, node := range b.nodes {
		if !s.Isolated(node) {
			require.InDelta(t, 0, excess[i], 2e-11, "continuity at node %d", i)
		}
	}
}

func (l drawnLink) loss(q float64, k water.Constants) float64 {
	size := math.Abs(q)
	switch {
	case l.kind != "pipe":
		return math.Copysign(1e5/(k.Density*k.Gravity)*math.Pow(3600*size/l.kv, 2), q)
	case !l.rough:
		return math.Copysign(k.HazenWilliams*l.length*math.Pow(size/150, 1.852)/math.Pow(l.bore, k.HazenWilliamsBore),
			q)
	}
	velocity := size / (math.Pi / 4 * l.bore * l.bore)
	reynolds := velocity * l.bore / k.Viscosity
	if reynolds == 0 {
		return 0
	}
	return math.Copysign(factorOf(reynolds, 7e-6/l.bore)*l.length/l.bore*velocity*velocity/2/k.Gravity, q)
}

// factorOf is the friction factor by bisection and, between the regimes, by
// the cubic through both ends with difference quotients for slopes.
func factorOf(reynolds, roughness float64) float64 {
	switch {
	case reynolds <= 2000:
		return 64 / reynolds
	case reynolds >= 4000:
		low, high := 1.0, 30.0
		for range 100 {
			x := (low + high) / 2
			if x+2*math.Log10(roughness/3.7+2.51*x/reynolds) > 0 {
				high = x
			} else {
				low = x
			}
		}
		return 1 / (low * low)
	}
	t := (reynolds - 2000) / 2000
	v0, d0 := 0.032, -0.032
	v1 := factorOf(4000, roughness)
	d1 := 2000 * (factorOf(4001, roughness) - v1)
	d1 -= 1000 * (factorOf(4002, roughness) - 2*factorOf(4001, roughness) + v1) // second order
	return v0*(1+2*t)*(1-t)*(1-t) + d0*t*(1-t)*(1-t) + v1*t*t*(3-2*t) + d1*t*t*(t-1)
}

func TestAnswersDoNotDependOnTheOrderOfLinks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawNetwork(t)
		first := d.build(t, d.inOrder())
		second := d.build(t, rapid.Permutation(d.inOrder()).Draw(t, "order"))
		require.NoError(t, first.solver.Solve())
		require.NoError(t, second.solver.Solve())
		for i := range d.outlets {
			a, b := first.solver.Outflow(first.outlets[i]), second.solver.Outflow(second.outlets[i])
			require.InDelta(t, a, b, 1e-9*a+1e-12, "outlet %d", i)
		}
		for i := range first.nodes {
			require.InDelta(t, first.solver.Head(first.nodes[i]), second.solver.Head(second.nodes[i]), 1e-7, "head %d",
				i)
		}
	})
}

func TestMoreSupplyNeverGivesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawNetwork(t)
		b := d.build(t, d.inOrder())
		require.NoError(t, b.solver.Solve())
		before := b.solver.Inflow(b.supply)
		b.solver.SetStatic(b.supply, d.static+rapid.Float64Range(0, 20).Draw(t, "more"))
		require.NoError(t, b.solver.Solve())
		require.GreaterOrEqual(t, b.solver.Inflow(b.supply), before-1e-12)
	})
}

func TestClosingAValveNeverRaisesItsFlow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawNetwork(t)
		d.links = append(d.links, drawnLink{from: 0, to: len(d.elevations), kind: "valve", kv: 5})
		d.elevations, d.draws = append(d.elevations, 1), append(d.draws, 0)
		d.outlets = append(d.outlets, drawnOutlet{len(d.elevations) - 1, 1e-4, 0.5})
		b := d.build(t, d.inOrder())
		valve := b.links[len(b.links)-1]
		last := math.Inf(1)
		for _, kv := range []float64{5, 2, 0.7, 0.1, 0.01, 0} {
			b.solver.SetKv(valve, kv)
			require.NoError(t, b.solver.Solve())
			flow := b.solver.Flow(valve)
			require.LessOrEqual(t, flow, last+1e-13, "at Kv %v", kv)
			require.GreaterOrEqual(t, flow, 0.0)
			last = flow
		}
		require.Zero(t, last, "flow through the shut valve")
	})
}

// A warm solve must come to what a cold one finds. Only water at rest between
// non-return valves may stand anywhere between the heads on their other sides.
func TestWarmSolvesAgreeWithColdOnes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := drawNetwork(t)
		b := d.build(t, d.inOrder())
		require.NoError(t, b.solver.Solve())
		for range 4 {
			for i, link := range d.links {
				if link.kind != "pipe" && rapid.Bool().Draw(t, "move") {
					d.links[i].kv = rapid.SampledFrom([]float64{0.05, 1, 20}).Draw(t, "to")
					b.solver.SetKv(b.links[i], d.links[i].kv)
				}
			}
			d.static = rapid.Float64Range(-5, 60).Draw(t, "head")
			b.solver.SetStatic(b.supply, d.static)
			require.NoError(t, b.solver.Solve())
			cold := d.build(t, d.inOrder())
			require.NoError(t, cold.solver.Solve())
			for i := range b.nodes {
				require.Equal(t, cold.solver.Isolated(cold.nodes[i]), b.solver.Isolated(b.nodes[i]), "node %d isolated",
					i)
				if d.flowsThrough(b, i) {
					require.InDelta(t, cold.solver.Head(cold.nodes[i]), b.solver.Head(b.nodes[i]),
						1e-6+1e-7*math.Abs(b.solver.Head(b.nodes[i])), "head of node %d", i)
				}
			}
			d.requireLaws(t, b)
			for i := range b.links {
				require.InDelta(t, cold.solver.Flow(cold.links[i]), b.solver.Flow(b.links[i]), 1e-8, "flow of link %d",
					i)
			}
		}
	})
}

// flowsThrough reports whether water flows by a link of a node.
func (d drawn) flowsThrough(b built, node int) bool {
	for i, link := range d.links {
		if (link.from == node || link.to == node) && math.Abs(b.solver.Flow(b.links[i])) > 1e-9 {
			return true
		}
	}
	return node == 0
}
