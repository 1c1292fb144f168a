package water

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A pipe that has come off gives nothing to what it fed, whatever that is set to meanwhile, and all as before once it
// is back on.
func TestAPipeThatComesOff(t *testing.T) {
	var n Network
	source := n.Reservoir("source", 20)
	end := n.Junction("end", 0, 0)
	below := n.Junction("below", -1, 0)
	pipe := n.Pipe("pipe", source, end, Pipe{Length: 10, Bore: 0.02, Roughness: 1e-5})
	hole := n.Emitter("hole", end, Emitter{Exponent: 0.5})
	zone := n.Valve("zone", end, below, 2)
	spray := n.Emitter("spray", below, Emitter{Coefficient: 1e-4, Exponent: 0.5})
	beside := n.Emitter("beside", end, Emitter{Coefficient: 1e-4, Exponent: 0.5})
	s, err := n.Compile()
	require.NoError(t, err)
	require.NoError(t, s.Solve())
	before, besideBefore := s.Outflow(spray), s.Outflow(beside)
	require.Positive(t, before)

	s.SetCoefficient(hole, 1e-3)
	s.SetOff(pipe, hole, true)
	s.SetKv(zone, 0)
	s.SetKv(zone, 3)
	require.NoError(t, s.Solve())
	assert.Zero(t, s.Outflow(spray), "water beyond a pipe that has come off")
	assert.Zero(t, s.Outflow(beside), "water out of an outlet at the end of a pipe that has come off")
	assert.InDelta(t, s.Flow(pipe), s.Outflow(hole), 1e-9, "what the pipe brings runs out")

	s.SetCoefficient(hole, 0)
	s.SetKv(zone, 2)
	s.SetOff(pipe, hole, false)
	require.NoError(t, s.Solve())
	assert.InDelta(t, before, s.Outflow(spray), 1e-9, "with the pipe back on")
	assert.InDelta(t, besideBefore, s.Outflow(beside), 1e-9, "with the pipe back on")

	s.SetKv(zone, 0)
	s.SetOff(pipe, hole, true)
	s.SetOff(pipe, hole, false)
	require.NoError(t, s.Solve())
	assert.Zero(t, s.Outflow(spray), "a valve that was shut before is shut afterwards")
}
