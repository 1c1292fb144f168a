package water_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/water"
)

// Everything that is wrong is reported at once, by name, with what was
// expected.
func TestCompileReportsBadDescriptions(t *testing.T) {
	good := water.Pipe{Length: 1, Bore: 0.02, HazenWilliams: 150}
	tests := []struct {
		name  string
		build func(n *water.Network, a, b, tank, source water.Node)
		want  []string
	}{
		{"pipe", func(n *water.Network, a, b, _, _ water.Node) {
			n.Pipe("riser", a, b, water.Pipe{Length: -1, Bore: math.NaN(), HazenWilliams: 150})
		}, []string{`"riser" has length -1; a finite number above 0 is needed`, `"riser" has bore NaN`}},
		{"rough pipe", func(n *water.Network, a, b, _, _ water.Node) {
			n.Pipe("riser", a, b, water.Pipe{Length: 1, Bore: 0.02, Roughness: 0.007})
		}, []string{`"riser" has roughness 0.007 m in a bore of 0.02 m`}},
		{"ends", func(n *water.Network, a, _, _, _ water.Node) {
			n.Pipe("riser", a, a, good)
			n.Pipe("lost", a, 99, good)
			n.Pipe("loose", 0, a, good)
		}, []string{`"riser" starts and ends at "a"`, `"lost" ends at a node that the network does not have`,
			`"loose" starts at a node`}},
		{"valve", func(n *water.Network, a, b, _, _ water.Node) { n.Valve("stop", a, b, -2) },
			[]string{`"stop" has Kv -2`}},
		{"regulators", func(n *water.Network, a, b, tank, _ water.Node) {
			n.Regulator("first", a, b, 10, 3)
			n.Regulator("second", a, b, 12, 3)
			n.Regulator("third", a, tank, 12, 3)
		}, []string{`"second" regulates the same node as "first"`,
			`"third" ends at "tank"; a regulator must end at a junction`}},
		{"pump", func(n *water.Network, a, b, _, _ water.Node) {
			n.Pump("flat", a, b, water.Pump{Points: []water.Point{{Flow: 0, Head: 5}, {Flow: 1, Head: 6}, {Flow: 2,
				Head: 1}}})
			n.Pump("none", a, b, water.Pump{})
		}, []string{`"flat" has a curve of points`, `"none" has shut-off head 0`}},
		{"supply", func(n *water.Network, a, _, _, source water.Node) {
			n.Supply("mains", source, water.Inflow{Static: 10, Residual: 12, Flow: 0})
		}, []string{`"mains" feeds "source", a reservoir`, `"mains" has flow at the residual head 0`,
			`the residual must be lower`}},
		{"outlets", func(n *water.Network, a, _, tank, source water.Node) {
			n.Emitter("drip", source, water.Emitter{Coefficient: 1, Exponent: 0.01})
			n.Standpipe("overflow", a, water.Standpipe{Bore: 0})
			n.Weir("rim", tank, water.Weir{Length: 1, Into: tank})
		}, []string{`"drip" has exponent 0.01; 0.04 to 5 is needed`, `"drip" is at "source"`,
			`"overflow" is an overflow at "a", which is no tank`,
			`"overflow" has bore 0`, `"rim" runs into "tank"; another tank is needed`}},
		{"tank", func(n *water.Network, _, _, _, _ water.Node) { n.Tank("butt", 0, nil) },
			[]string{`"butt" is a tank without a vessel`}},
		{"constants", func(n *water.Network, _, _, _, _ water.Node) {
			n.Constants = water.Standard()
			n.Constants.Density = 0
			n.Constants.Friction = 7
		}, []string{`density 0`, `friction law 7`}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var n water.Network
			a, b := n.Junction("a", 0, 0), n.Junction("b", 0, 0)
			tank, source := n.Tank("tank", 0, water.Upright(1)), n.Reservoir("source", 10)
			tt.build(&n, a, b, tank, source)
			s, err := n.Compile()
			require.Error(t, err)
			assert.Nil(t, s)
			for _, want := range tt.want {
				assert.ErrorContains(t, err, want)
			}
		})
	}
}

// Heads that are no numbers cannot settle; the error names the part, and the
// solver recovers when the heads are put right.
func TestUnsettledSolveNamesParts(t *testing.T) {
	var n water.Network
	source, end := n.Reservoir("source", 10), n.Junction("end", 0, 0)
	n.Pipe("riser", source, end, water.Pipe{Length: 1, Bore: 0.02, HazenWilliams: 150})
	n.Emitter("hose", end, water.Emitter{Coefficient: 1e-5, Exponent: 0.5})
	s, err := n.Compile()
	require.NoError(t, err)
	s.SetHead(source, math.NaN())
	var unsettled *water.UnsettledError
	require.ErrorAs(t, s.Solve(), &unsettled)
	assert.NotEmpty(t, unsettled.Parts)
	assert.Subset(t, []string{"riser", "hose"}, unsettled.Parts)
	s.SetHead(source, 10)
	require.NoError(t, s.Solve())
	assert.False(t, math.IsNaN(s.Head(end)))
}

func TestWrongHandlesPanicWithTheName(t *testing.T) {
	var n water.Network
	source, end := n.Reservoir("source", 10), n.Junction("end", 0, 0)
	pipe := n.Pipe("riser", source, end, water.Pipe{Length: 1, Bore: 0.02, HazenWilliams: 150})
	s, err := n.Compile()
	require.NoError(t, err)
	for name, call := range map[string]func(){
		"end":    func() { s.SetHead(end, 1) },
		"source": func() { s.SetDraw(source, 1) },
		"riser":  func() { s.SetKv(pipe, 1) },
	} {
		func() {
			defer func() { assert.Contains(t, recover(), name) }()
			call()
		}()
	}
	assert.Panics(t, func() { s.Hold(end, 1) })
	assert.Panics(t, func() { s.SetSpeed(pipe, 1) })
	assert.Panics(t, func() { s.SetSetting(pipe, 1) })
}
