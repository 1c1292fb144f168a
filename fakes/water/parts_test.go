package water_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/water"
)

const litre = 1.0 / 60000 // L/min in m3/s

func compiled(t *testing.T, n *water.Network) *water.Solver {
	t.Helper()
	s, err := n.Compile()
	require.NoError(t, err)
	return s
}

func solve(t *testing.T, s *water.Solver) {
	t.Helper()
	require.NoError(t, s.Solve())
}

// A regulator holds its setting while the supply suffices, passes what there
// is when it does not, and bars water from behind.
func TestRegulatorStates(t *testing.T) {
	var n water.Network
	source := n.Reservoir("mains", 60)
	before, behind := n.Junction("before", 1, 0), n.Junction("behind", 1, 0)
	n.Pipe("main", source, before, water.Pipe{Length: 50, Bore: 0.028, HazenWilliams: 150})
	regulator := n.Regulator("regulator", before, behind, 20, 4)
	hose := n.Emitter("hose", behind, water.Emitter{Coefficient: 3 * litre, Exponent: 0.5})
	back := n.Reservoir("other", -50)
	link := n.NonReturn("other valve", back, behind, 5)
	s := compiled(t, &n)
	for _, tt := range []struct {
		mains, other float64
		state        water.State
		height       float64 // behind, NaN for the mains' less the losses
	}{
		{60, -50, water.Active, 20},
		{23, -50, water.Active, 20},
		{18, -50, water.Open, math.NaN()},
		{60, -50, water.Active, 20},
		{60, 40, water.Closed, math.NaN()},
		{10, 40, water.Closed, math.NaN()},
		{60, -50, water.Active, 20},
		{-5, -60, water.Open, math.NaN()},
		{30, -60, water.Active, 20},
	} {
		s.SetHead(source, tt.mains)
		s.SetHead(back, tt.other)
		solve(t, s)
		assert.Equal(t, tt.state, s.State(regulator), "mains %v m, other supply %v m", tt.mains, tt.other)
		if !math.IsNaN(tt.height) {
			assert.InDelta(t, tt.height, s.Height(behind), 1e-9, "mains %v m", tt.mains)
		}
		assert.InDelta(t, s.Outflow(hose), s.Flow(regulator)+s.Flow(link), 1e-12, "continuity behind the regulator")
		assert.GreaterOrEqual(t, s.Flow(regulator), 0.0)
		if tt.state == water.Closed {
			assert.Zero(t, s.Flow(regulator))
		}
		if tt.state == water.Open && tt.mains > 0 {
			drop := s.Height(before) - s.Height(behind)
			k := water.Standard()
			assert.InEpsilon(t, math.Pow(s.Flow(regulator)*3600/4, 2), drop*k.Density*k.Gravity/1e5, 1e-6,
				"only its Kv takes pressure")
		}
	}
	s.SetSetting(regulator, 12)
	solve(t, s)
	assert.InDelta(t, 12, s.Height(behind), 1e-9, "after the setting changed")
}

func TestRegulatorsInSeries(t *testing.T) {
	var n water.Network
	at := n.Reservoir("mains", 60)
	for _, setting := range []float64{40, 25, 10} {
		between, next := n.Junction("between", 0, 0), n.Junction("after", 0, 1*litre)
		n.Pipe("pipe", at, between, water.Pipe{Length: 20, Bore: 0.0204, Roughness: 7e-6})
		n.Regulator("regulator", between, next, setting, 3)
		at = next
	}
	hose := n.Emitter("hose", at, water.Emitter{Coefficient: 3 * litre, Exponent: 0.5})
	s := compiled(t, &n)
	solve(t, s)
	assert.InEpsilon(t, 3*litre*math.Sqrt(10), s.Outflow(hose), 1e-7)
}

func pumped(head float64, pump water.Pump) (*water.Network, water.Link, water.Node) {
	n := &water.Network{}
	sump, tank := n.Reservoir("sump", 0), n.Reservoir("tank", head)
	in, out := n.Junction("in", 0, 0), n.Junction("out", 0, 0)
	n.Pipe("suction", sump, in, water.Pipe{Length: 2, Bore: 0.04, Roughness: 7e-6})
	link := n.Pump("pump", in, out, pump)
	n.Pipe("riser", out, tank, water.Pipe{Length: 15, Bore: 0.0326, Roughness: 7e-6})
	return n, link, tank
}

// A pump works on its curve; by the affinity laws at lower speeds; it bars the
// way back when it stands or is too weak.
func TestPumpCurveSpeedAndStanding(t *testing.T) {
	point := water.Point{Flow: 60 * litre, Head: 18}
	n, pump, tank := pumped(9, water.Pump{Points: []water.Point{point}})
	s := compiled(t, n)
	gain := func() float64 { return s.Head(3+1) - s.Head(3) }
	for _, speed := range []float64{1, 0.9, 0.75} {
		s.SetSpeed(pump, speed)
		solve(t, s)
		q := s.Flow(pump)
		assert.Positive(t, q)
		want := speed*speed*24 - 6*math.Pow(q/point.Flow, 2)
		assert.InDelta(t, want, gain(), 1e-7, "head gained at speed %v", speed)
		assert.InDelta(t, q, s.NetInflow(tank), 1e-12)
	}
	s.SetSpeed(pump, 0.5) // 6 m shut-off against 9 m
	solve(t, s)
	assert.Zero(t, s.Flow(pump))
	assert.Equal(t, water.Closed, s.State(pump))
	s.SetSpeed(pump, 0)
	solve(t, s)
	assert.Zero(t, s.Flow(pump))
	assert.Equal(t, water.Shut, s.State(pump))
	s.SetSpeed(pump, 1)
	solve(t, s)
	assert.Positive(t, s.Flow(pump))
	s.SetHead(tank, 30)
	solve(t, s)
	assert.Zero(t, s.Flow(pump), "below shut-off head nothing runs back")
}

func TestPumpCurveThroughThreePoints(t *testing.T) {
	points := []water.Point{{Flow: 0, Head: 20}, {Flow: 30 * litre, Head: 16}, {Flow: 50 * litre, Head: 9}}
	for _, point := range points[1:] {
		var n water.Network
		sump, out := n.Reservoir("sump", 0), n.Junction("out", 0, point.Flow)
		n.Pump("pump", sump, out, water.Pump{Points: points})
		s := compiled(t, &n)
		solve(t, s)
		assert.InDelta(t, point.Head, s.Head(out), 1e-9, "at %v m3/s", point.Flow)
	}
}

func TestStandingPumpLetsWaterThroughItsBody(t *testing.T) {
	n, pump, tank := pumped(-3, water.Pump{Points: []water.Point{{Flow: 60 * litre, Head: 18}}, IdleKv: 5})
	s := compiled(t, n)
	s.SetSpeed(pump, 0)
	solve(t, s)
	assert.Positive(t, s.Flow(pump), "downhill through the standing pump")
	s.SetHead(tank, 3)
	solve(t, s)
	assert.Zero(t, s.Flow(pump), "uphill is the way back, which is barred")
}

// The supply's residual head at its flow, by definition, and NFPA's exponent.
func TestSupplyFollowsItsFlowTest(t *testing.T) {
	inflow := water.Inflow{Static: 36, Residual: 24, Flow: 30 * litre}
	var n water.Network
	node := n.Junction("stop tap", 1, 0)
	supply := n.Supply("mains", node, inflow)
	s := compiled(t, &n)
	for _, flow := range []float64{0, 10, 30, 45} {
		s.SetDraw(node, flow*litre)
		solve(t, s)
		want := 36 - 12*math.Pow(flow/30, 1/0.54)
		assert.InDelta(t, want, s.Head(node), 1e-8, "head at %v L/min", flow)
		assert.InDelta(t, flow*litre, s.Inflow(supply), 1e-12)
	}
	s.SetStatic(supply, 20)
	s.SetDraw(node, 30*litre)
	solve(t, s)
	assert.InDelta(t, 8, s.Head(node), 1e-8, "the loss of the mains stays when its head falls")
	s.SetInflow(supply, water.Inflow{Static: 30, Residual: 10, Flow: 30 * litre})
	solve(t, s)
	assert.InDelta(t, 10, s.Head(node), 1e-8)
}

func TestSupplyTakesWaterBackOnlyWhenAllowed(t *testing.T) {
	for _, takesBack := range []bool{false, true} {
		var n water.Network
		node := n.Junction("stop tap", 0, 0)
		supply := n.Supply("mains", node, water.Inflow{Static: 5, Residual: 2, Flow: 1e-3, TakesBack: takesBack})
		high := n.Reservoir("roof", 12)
		n.Pipe("pipe", high, node, water.Pipe{Length: 20, Bore: 0.0204, HazenWilliams: 150})
		s := compiled(t, &n)
		solve(t, s)
		if takesBack {
			assert.Negative(t, s.Inflow(supply))
			assert.InDelta(t, -s.Inflow(supply), -s.NetInflow(high), 1e-12)
		} else {
			assert.Zero(t, s.Inflow(supply))
			assert.InDelta(t, 12, s.Head(node), 1e-8)
		}
	}
}

func TestPartsWithoutASupplyAreReported(t *testing.T) {
	var n water.Network
	source := n.Reservoir("mains", 30)
	a, b, c := n.Junction("a", 1, 0), n.Junction("b", 4, 1*litre), n.Junction("c", 2, 0)
	n.Pipe("main", source, a, water.Pipe{Length: 10, Bore: 0.0204, HazenWilliams: 150})
	valve := n.Valve("valve", a, b, 3)
	pipe := n.Pipe("pipe", b, c, water.Pipe{Length: 10, Bore: 0.0204, HazenWilliams: 150})
	hose := n.Emitter("hose", c, water.Emitter{Coefficient: litre, Exponent: 0.5})
	s := compiled(t, &n)
	solve(t, s)
	open := s.Outflow(hose)
	require.Positive(t, open)
	for range 2 {
		s.SetKv(valve, 0)
		solve(t, s)
		for _, node := range []water.Node{b, c} {
			assert.True(t, s.Isolated(node))
			assert.Zero(t, s.Pressure(node))
		}
		assert.False(t, s.Isolated(a))
		assert.Zero(t, s.Flow(valve))
		assert.Zero(t, s.Flow(pipe))
		assert.Zero(t, s.Outflow(hose))
		assert.InDelta(t, 30, s.Head(a), 1e-9)
		s.SetKv(valve, 3)
		solve(t, s)
		assert.False(t, s.Isolated(c))
		assert.InEpsilon(t, open, s.Outflow(hose), 1e-8)
	}
}

func TestNetworkWithoutAnySupply(t *testing.T) {
	var n water.Network
	a, b := n.Junction("a", 1, litre), n.Junction("b", 2, 0)
	pipe := n.Pipe("pipe", a, b, water.Pipe{Length: 10, Bore: 0.02, HazenWilliams: 150})
	s := compiled(t, &n)
	solve(t, s)
	assert.True(t, s.Isolated(a))
	assert.Zero(t, s.Flow(pipe))
}

func TestParallelPipesAndOpeningsCount(t *testing.T) {
	build := func(count int) (*water.Solver, water.Outlet) {
		var n water.Network
		source, end := n.Reservoir("mains", 20), n.Junction("end", 0, 0)
		for _, pipe := range []water.Pipe{
			{Length: 30, Bore: 0.0136, HazenWilliams: 150, Minor: 3, Count: count},
			{Length: 20, Bore: 0.0136, Roughness: 7e-6, Minor: 3, Count: count},
		} {
			for range 2 / max(count, 1) {
				n.Pipe("pipe", source, end, pipe)
			}
		}
		outlet := n.Emitter("drippers", end, water.Emitter{Coefficient: 5 * litre / float64(max(count, 1)),
			Exponent: 0.5, Count: count})
		return compiled(t, &n), outlet
	}
	apart, first := build(0)
	together, second := build(2)
	solve(t, apart)
	solve(t, together)
	assert.InEpsilon(t, apart.Outflow(first), together.Outflow(second), 1e-9)
}

func TestCloggedOutlet(t *testing.T) {
	var n water.Network
	node := n.Junction("end", 0, 0)
	n.Supply("mains", node, water.Inflow{Static: 20, Residual: 19.999999, Flow: 1})
	outlet := n.Emitter("nozzle", node, water.Emitter{Coefficient: litre, Exponent: 0.5, Height: 4})
	s := compiled(t, &n)
	solve(t, s)
	assert.InEpsilon(t, 4*litre, s.Outflow(outlet), 1e-6)
	s.SetCoefficient(outlet, 0.3*litre)
	solve(t, s)
	assert.InEpsilon(t, 1.2*litre, s.Outflow(outlet), 1e-6)
	s.SetCoefficient(outlet, 0)
	solve(t, s)
	assert.Zero(t, s.Outflow(outlet))
	s.SetCoefficient(outlet, litre)
	solve(t, s)
	assert.InEpsilon(t, 4*litre, s.Outflow(outlet), 1e-6)
}

// A pipe that clogs loses the head of its fittings, K v^2/2g.
func TestMinorLossOfAPipe(t *testing.T) {
	var n water.Network
	source, end := n.Reservoir("mains", 20), n.Junction("end", 0, 20*litre)
	pipe := n.Pipe("pipe", source, end, water.Pipe{Length: 1, Bore: 0.02, HazenWilliams: 150})
	s := compiled(t, &n)
	solve(t, s)
	before := s.Head(end)
	s.SetMinor(pipe, 12)
	solve(t, s)
	velocity := 20 * litre / (math.Pi / 4 * 0.02 * 0.02)
	assert.InDelta(t, 12*velocity*velocity/2/water.Standard().Gravity, before-s.Head(end), 1e-9)
}

// A spring that takes some head before it lets water through: nothing passes
// below that, and above it the loss is that much and the square part.
func TestSpringLoadedValveKeepsItsOpeningLoss(t *testing.T) {
	const opening = 5.0
	var n water.Network
	source, out := n.Reservoir("source", 20), n.Junction("out", 0, 0)
	valve := n.SpringLoaded("preventer", source, out, 4, opening)
	nozzle := n.Emitter("nozzle", out, water.Emitter{Coefficient: 10 * litre, Exponent: 0.5})
	s := compiled(t, &n)
	for _, head := range []float64{4, 5, 5.001, 6, 20, 60, 3, 20} {
		s.SetHead(source, head)
		solve(t, s)
		q := s.Flow(valve)
		if head <= opening {
			assert.Zero(t, q, "at %v m", head)
			assert.Zero(t, s.Outflow(nozzle))
			continue
		}
		assert.Positive(t, q, "at %v m", head)
		k := water.Standard()
		want := opening + 1e5/(k.Density*k.Gravity)*math.Pow(3600*q/4, 2)
		assert.InDelta(t, want, head-s.Head(out), 1e-7, "head lost at %v m", head)
		assert.InDelta(t, q, s.Outflow(nozzle), 1e-12)
	}
}

// A compensated emitter is an orifice until its membrane throttles, and gives
// nearly the same from there on.
func TestCompensatedEmitterThrottlesFromItsPressureOn(t *testing.T) {
	const from, exponent, rated = 5.0, 0.05, 2 * litre / 60
	var n water.Network
	tank := n.Reservoir("tank", 0)
	node := n.Junction("line", 0, 0)
	n.Valve("tap", tank, node, 100)
	emitter := n.Emitter("emitters", node, water.Emitter{Coefficient: rated / math.Pow(10, exponent),
		Exponent: exponent, Compensates: from, Count: 10})
	s := compiled(t, &n)
	at := rated * math.Pow(from/10, exponent) // flow where it begins to throttle
	for _, head := range []float64{30, 10, 5.01, 5, 4.99, 1, 0.1, 0.001, 40, 0.5} {
		s.SetHead(tank, head)
		solve(t, s)
		pressure := s.Height(node)
		want := rated * math.Pow(pressure/10, exponent)
		if pressure < from {
			want = at * math.Sqrt(pressure/from)
		}
		assert.InEpsilon(t, 10*want, s.Outflow(emitter), 1e-6, "at %v m", head)
	}
	s.SetHead(tank, 10)
	solve(t, s)
	before := s.Outflow(emitter)
	s.SetCoefficient(emitter, 0.3*rated/math.Pow(10, exponent))
	solve(t, s)
	assert.InEpsilon(t, 0.3*before, s.Outflow(emitter), 1e-5, "seven tenths clogged")
}
