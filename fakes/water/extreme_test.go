package water_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/water"
)

// requireSettled solves cold and warm and demands finite readings that balance.
func requireSettled(t *testing.T, s *water.Solver, what string, args ...any) {
	t.Helper()
	require.NoError(t, s.Solve(), fmt.Sprintf(what, args...))
	assert.LessOrEqual(t, s.Iterations(), 60, fmt.Sprintf("steps of "+what, args...))
}

// Resistances twenty decades apart in one line: the flow is that of the tight
// one, and where it stands does not matter.
func TestWideAndNearlyClosedValves(t *testing.T) {
	k := water.Standard()
	for _, kv := range []float64{1e-6, 1e-4, 1, 1e4} {
		for _, place := range []string{"upstream", "downstream", "both"} {
			up, down := 1e4, 1e4
			if place != "downstream" {
				up = kv
			}
			if place != "upstream" {
				down = kv
			}
			var n water.Network
			source, a, b, end := n.Reservoir("source", 30), n.Junction("a", 0, 0), n.Junction("b", 0, 0),
				n.Reservoir("end", 0)
			first := n.Valve("first", source, a, up)
			pipe := n.Pipe("pipe", a, b, water.Pipe{Length: 1e-3, Bore: 0.2, Roughness: 7e-6})
			second := n.Valve("second", b, end, down)
			s := compiled(t, &n)
			requireSettled(t, s, "Kv %v %s", kv, place)
			together := 1 / math.Sqrt(1/(up*up)+1/(down*down))
			if kv < 1e4 {
				want := together / 3600 * math.Sqrt(30*k.Density*k.Gravity/1e5)
				assert.InDelta(t, want, s.Flow(pipe), 1e-6*want+2e-13, "Kv %v %s", kv, place)
			}
			assert.InDelta(t, s.Flow(first), s.Flow(second), 1e-9*s.Flow(first)+1e-12, "Kv %v %s", kv, place)
		}
	}
}

// A valve moves from wide open to a millionth of its capacity and back, with
// compensated drippers behind it that it starves.
func TestValveNearlyClosedBeforeDrippers(t *testing.T) {
	for _, exponent := range []float64{0.04, 0.05, 0.3, 0.5} {
		var n water.Network
		source := n.Reservoir("source", 25)
		at := n.Junction("zone", 1, 0)
		valve := n.Valve("valve", source, at, 3)
		var drippers []water.Outlet
		for i := range 6 {
			next := n.Junction("lateral", 1+0.3*float64(i%3), 0)
			n.Pipe("pipe", at, next, water.Pipe{Length: 20, Bore: 0.0136, Roughness: 7e-6})
			drippers = append(drippers, n.Emitter("drippers", next, water.Emitter{Coefficient: 5e-7, Exponent: exponent,
				Count: 8}))
			at = next
		}
		s := compiled(t, &n)
		for _, share := range []float64{1, 1e-6, 1e-3, 1e-6, 1, 0, 1e-6, 0.01, 1} {
			s.SetKv(valve, 3*share)
			requireSettled(t, s, "share %v, exponent %v", share, exponent)
			sum := 0.0
			for _, dripper := range drippers {
				sum += s.Outflow(dripper)
				assert.GreaterOrEqual(t, s.Outflow(dripper), 0.0)
			}
			assert.InDelta(t, s.Flow(valve), sum, 1e-11, "what the valve passes drips out at share %v, exponent %v",
				share, exponent)
			assert.Equal(t, share > 0, sum > 0, "share %v, exponent %v", share, exponent)
		}
	}
}

// Pressures of next to nothing at outlets of any exponent.
func TestOutletsNearZeroPressure(t *testing.T) {
	for _, exponent := range []float64{0.04, 0.05, 0.3, 0.5, 1, 5} {
		var n water.Network
		source, at := n.Reservoir("source", 0), n.Junction("end", 0, 0)
		n.Pipe("pipe", source, at, water.Pipe{Length: 10, Bore: 0.02, Roughness: 7e-6})
		outlet := n.Emitter("outlet", at, water.Emitter{Coefficient: 1e-5, Exponent: exponent})
		s := compiled(t, &n)
		last := 0.0
		for _, head := range []float64{-1, -1e-9, 0, 1e-12, 1e-9, 1e-6, 1e-4, 1e-2, 1} {
			s.SetHead(source, head)
			requireSettled(t, s, "head %v, exponent %v", head, exponent)
			flow := s.Outflow(outlet)
			assert.GreaterOrEqual(t, flow, last, "more head, less flow at %v m, exponent %v", head, exponent)
			if head <= 0 {
				assert.LessOrEqual(t, flow, 1e-12, "flow without pressure, exponent %v", exponent)
			}
			last = flow
		}
		assert.Positive(t, last)
	}
}

func TestEverythingShut(t *testing.T) {
	p := newPlant(t)
	s := p.solver
	for _, valve := range []water.Link{p.check, p.spray, p.topUp, p.filter, p.regulator} {
		s.SetKv(valve, 0)
	}
	s.SetSpeed(p.pump, 0)
	s.SetCoefficient(p.drippers, 0)
	s.Hold(p.tank, 0)
	s.Hold(p.catch, 0)
	for _, static := range []float64{36, 0, -10} {
		s.SetStatic(p.supply, static)
		requireSettled(t, s, "all shut, supply at %v m", static)
		for _, link := range p.links {
			assert.Zero(t, s.Flow(link))
		}
		assert.Zero(t, s.Inflow(p.supply))
	}
}

// A pump against a shut valve gives its shut-off head and no flow; against one
// that is nearly closed, nearly.
func TestPumpAgainstAShutValve(t *testing.T) {
	var n water.Network
	sump, in, out, end := n.Reservoir("sump", 0), n.Junction("in", 0, 0), n.Junction("out", 0, 0), n.Reservoir("end", 2)
	n.Pipe("suction", sump, in, water.Pipe{Length: 2, Bore: 0.04, Roughness: 7e-6})
	pump := n.Pump("pump", in, out, water.Pump{Points: []water.Point{{Flow: 60 * litre, Head: 18}}})
	valve := n.Valve("valve", out, end, 5)
	s := compiled(t, &n)
	for _, kv := range []float64{5, 0, 1e-6, 0, 5, 1e-6} {
		s.SetKv(valve, kv)
		requireSettled(t, s, "Kv %v", kv)
		if kv < 1 {
			assert.InDelta(t, 24, s.Head(out), 1e-7, "shut-off head at Kv %v", kv)
			assert.InDelta(t, 0, s.Flow(pump), 1e-8)
		} else {
			assert.Greater(t, s.Flow(pump), 50*litre)
		}
	}
}

// Two pumps side by side share evenly; one behind the other add their heads; of
// two unequal ones the weaker is pushed shut.
func TestTwoPumps(t *testing.T) {
	strong := water.Pump{Points: []water.Point{{Flow: 60 * litre, Head: 18}}}
	weak := water.Pump{Points: []water.Point{{Flow: 30 * litre, Head: 6}}}
	build := func(second water.Pump, inSeries bool, head float64) (*water.Solver, water.Link, water.Link, water.Node) {
		var n water.Network
		sump, out, end := n.Reservoir("sump", 0), n.Junction("out", 0, 0), n.Reservoir("end", head)
		from, middle := sump, out
		if inSeries {
			middle = n.Junction("between", 0, 0)
			from = middle
		}
		one := n.Pump("first", sump, middle, strong)
		two := n.Pump("second", from, out, second)
		n.Pipe("riser", out, end, water.Pipe{Length: 15, Bore: 0.04, HazenWilliams: 150})
		return compiled(t, &n), one, two, out
	}
	s, one, two, _ := build(strong, false, 9)
	requireSettled(t, s, "two equal pumps")
	assert.InEpsilon(t, s.Flow(one), s.Flow(two), 1e-9)
	s, one, two, out := build(strong, true, 30)
	requireSettled(t, s, "two pumps in series")
	assert.InDelta(t, s.Flow(one), s.Flow(two), 1e-12)
	assert.InDelta(t, 2*(24-6*math.Pow(s.Flow(one)/(60*litre), 2)), s.Head(out), 1e-7)
	s, one, two, out = build(weak, false, 15)
	requireSettled(t, s, "a strong and a weak pump")
	assert.Zero(t, s.Flow(two), "8 m of shut-off head against %v m", s.Head(out))
	assert.Positive(t, s.Flow(one))
}

// Five regulators in a row over a range of supply: each holds its setting, is
// open, or has nothing to do.
func TestRegulatorChain(t *testing.T) {
	var n water.Network
	at := n.Junction("stop tap", 0, 0)
	supply := n.Supply("mains", at, water.Inflow{Static: 60, Residual: 50, Flow: 30 * litre})
	settings := []float64{40, 30, 30, 20, 10}
	var behind []water.Node
	for _, setting := range settings {
		between, next := n.Junction("between", 0, 0), n.Junction("behind", 0, 0)
		n.Pipe("pipe", at, between, water.Pipe{Length: 10, Bore: 0.0204, Roughness: 7e-6})
		n.Regulator("regulator", between, next, setting, 3)
		n.Emitter("drippers", next, water.Emitter{Coefficient: 1e-6, Exponent: 0.05, Count: 10})
		behind = append(behind, next)
		at = next
	}
	s := compiled(t, &n)
	for _, static := range []float64{60, 35, 25, 12, 5, 0, -3, 60, 0, 35} {
		s.SetStatic(supply, static)
		requireSettled(t, s, "supply at %v m", static)
		before := math.Max(static, 0)
		for i, node := range behind {
			height := s.Height(node)
			assert.LessOrEqual(t, height, math.Min(settings[i], before)+1e-7, "behind regulator %d, supply at %v m", i,
				static)
			before = math.Max(height, 0)
		}
		if static == 60 {
			assert.InDelta(t, 10, s.Height(behind[4]), 1e-8)
		}
	}
}

// A tank that is empty to the last bit, a hair above and a hair below.
func TestTankJustEmpty(t *testing.T) {
	p := newPlant(t)
	s := p.solver
	s.SetKv(p.topUp, 0)
	for _, volume := range []float64{1e-300, 0, 1e-15, -1e-15, 1e-9, 0, 1e-6} {
		for _, half := range []float64{1e-6, 1, 600} {
			s.Fill(p.tank, volume, 0, half)
			s.Hold(p.catch, 0)
			requireSettled(t, s, "volume %v, half %v", volume, half)
			if volume <= 0 {
				assert.Zero(t, s.Flow(p.pump), "volume %v, half %v", volume, half)
			}
			assert.False(t, math.IsNaN(s.Height(p.tank)))
		}
	}
}
