package water_test

import (
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/fakes/water"
)

// BenchmarkSolve measures steady solves of the reference networks with 10,
// 200 and 2,000 pipes to the accuracy of the reference set. A cold solve
// begins with default flows. A warm one begins with the last solution after a
// valve in one of the branches moved, to and fro between two positions: time
// and steps are the means of both.
func BenchmarkSolve(b *testing.B) {
	for _, name := range []string{
		"n13_terraces_10pipes_hw", "n13_terraces_10pipes_dw", "n16_branched_200_hw", "n16_branched_200_dw",
		"n17_looped_2000_hw", "n17_looped_2000_dw",
	} {
		b.Run(name+"/cold", func(b *testing.B) {
			solver := readReference(b, name, standard()).compile(b)
			b.ReportAllocs()
			for b.Loop() {
				solver.Reset()
				require.NoError(b, solver.Solve())
			}
			b.ReportMetric(float64(solver.Iterations()), "steps")
		})
		b.Run(name+"/warm", func(b *testing.B) {
			r := readReference(b, name, standard())
			valve := r.addValve(b)
			solver := r.compile(b)
			require.NoError(b, solver.Solve())
			steps, solves := 0, 0
			b.ReportAllocs()
			for b.Loop() {
				solver.SetKv(valve, []float64{2, 0.5}[solves%2])
				require.NoError(b, solver.Solve())
				steps += solver.Iterations()
				solves++
			}
			b.ReportMetric(float64(steps)/float64(solves), "steps")
		})
	}
}

// BenchmarkGrowth measures how the time of a cold solve grows with the number
// of pipes of a tree, in which each pipe leads on from one of the ten before it
// and every third ends in a nozzle.
func BenchmarkGrowth(b *testing.B) {
	for _, pipes := range []int{20, 63, 200, 632, 2000} {
		b.Run(strconv.Itoa(pipes), func(b *testing.B) {
			random := rand.New(rand.NewPCG(1, uint64(pipes)))
			var n water.Network
			nodes := []water.Node{n.Reservoir("source", 40)}
			for i := range pipes {
				next := n.Junction("junction", 0, 0)
				from := nodes[max(0, len(nodes)-1-random.IntN(10))]
				n.Pipe("pipe", from, next, water.Pipe{Length: 5, Bore: 0.05, HazenWilliams: 150})
				if i%3 == 2 {
					n.Emitter("nozzle", next, water.Emitter{Coefficient: 1e-6, Exponent: 0.5})
				}
				nodes = append(nodes, next)
			}
			solver, err := n.Compile()
			require.NoError(b, err)
			b.ReportAllocs()
			for b.Loop() {
				solver.Reset()
				require.NoError(b, solver.Solve())
			}
			b.ReportMetric(float64(solver.Iterations()), "steps")
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(pipes), "ns/pipe")
		})
	}
}

// addValve adds a branch with a valve and a nozzle in the middle of the
// network.
func (r *reference) addValve(tb testing.TB) water.Link {
	tb.Helper()
	junctions := r.sections["JUNCTIONS"]
	at := junctions[len(junctions)/2]
	end := r.network.Junction("nozzle", number(tb, at[1]), 0)
	r.network.Emitter("nozzle", end, water.Emitter{Coefficient: 2 * r.trade.perMinute, Exponent: 0.5})
	return r.network.Valve("valve", r.nodes[at[0]], end, 2)
}
