package site

import (
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/fakes/pipework"
	"ullage/fakes/water"
	"ullage/harness/sitefile"
)

// BenchmarkTernLane is one steady solve of the nursery with everything running: from default flows, and again after the
// spray valve has moved between half and fully open.
func BenchmarkTernLane(b *testing.B) {
	text, err := os.ReadFile("../../features/sites/tern-lane.yaml")
	require.NoError(b, err)
	spec, err := sitefile.Read("tern-lane.yaml", text)
	require.NoError(b, err)
	p, err := pipework.New(spec)
	require.NoError(b, err)
	solver, err := p.Network.Compile()
	require.NoError(b, err)
	for _, v := range spec.Valves {
		solver.SetKv(p.Links[v.Name], v.Capacity.SI)
	}
	solver.Hold(p.Nodes["header-tank"], 0.6)
	require.NoError(b, solver.Solve())
	require.Greater(b, solver.Outflow(p.Outlets["nozzles"][0]), 0.0, "nothing runs")
	solve := func(b *testing.B, before func(*water.Solver, int)) {
		b.ReportAllocs()
		for i := 0; b.Loop(); i++ {
			before(solver, i)
			if err := solver.Solve(); err != nil {
				b.Fatal(err)
			}
		}
	}
	b.Run("cold", func(b *testing.B) { solve(b, func(s *water.Solver, _ int) { s.Reset() }) })
	sprays, full := p.Links["sprays"], 3.0
	b.Run("warm", func(b *testing.B) {
		solve(b, func(s *water.Solver, i int) { s.SetKv(sprays, full/float64(1+i%2)) })
	})
}
