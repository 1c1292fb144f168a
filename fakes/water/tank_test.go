package water_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/water"
)

// Network n19: a tank of 1 m diameter drains from 1.2 m through an orifice of
// 10 mm. Torricelli: sqrt(level) falls linearly and the tank is empty after
// 7979.094 s (README of the reference data). The trapezoidal rule has an error
// that falls with the square of the step.
func TestTankDrainsAsTorricelliSays(t *testing.T) {
	const start, empty = 1.2, 7979.094
	worst := map[float64]float64{}
	for _, step := range []float64{600, 300, 60, 5} {
		r := readReference(t, "n19a_tank_drain_600s_hw", standard())
		s := r.compile(t)
		tank := r.nodes["TK"]
		area := math.Pi / 4
		s.Hold(tank, start)
		solve(t, s)
		volume, inflow := area*start, s.NetInflow(tank)
		for at := step; at < 0.8*empty; at += step {
			s.Fill(tank, volume, inflow, step/2)
			solve(t, s)
			volume, inflow = s.Volume(tank), s.NetInflow(tank)
			exact := start * math.Pow(1-at/empty, 2)
			worst[step] = math.Max(worst[step], math.Abs(s.Height(tank)-exact))
		}
	}
	t.Logf("worst error of the level by step: %v", worst)
	assert.Less(t, worst[600], 2e-3)
	assert.Less(t, worst[60], 3e-5)
	assert.Less(t, worst[5], 5e-6) // the orifice coefficient has eight digits
}

// Rows TD of the handbook: the time that a tank takes to drain by Torricelli,
// and its level on the way. Steps of 30 s by the trapezoidal rule.
func TestHandbookTankDrain(t *testing.T) {
	book, k := handbook(t), water.Standard()
	const start, step = 1.2, 30.0
	area, hole := math.Pi/4, 0.62*math.Pi/4*0.01*0.01*math.Sqrt(2*k.Gravity)
	assert.InEpsilon(t, number(t, book["TD1"][5]), 2*area*math.Sqrt(start)/hole, 1e-6,
		"TD1: the hole that this test uses")
	var n water.Network
	tank := n.Tank("tank", 0, water.Upright(area))
	n.Emitter("hole", tank, water.Emitter{Coefficient: hole, Exponent: 0.5})
	s := compiled(t, &n)
	s.Hold(tank, start)
	solve(t, s)
	volume, inflow, checked := s.Volume(tank), s.NetInflow(tank), 0
	for at := step; at <= 8100; at += step {
		s.Fill(tank, volume, inflow, step/2)
		solve(t, s)
		volume, inflow = s.Volume(tank), s.NetInflow(tank)
		if row := book[fmt.Sprintf("TD_%.0f", at)]; row != nil {
			assert.InDelta(t, number(t, row[5]), s.Height(tank), 5e-6, row[0])
			checked++
		}
		if at < 7950 {
			assert.Positive(t, volume, "after %v s, before TD1", at)
		}
	}
	assert.Equal(t, 5, checked)
	assert.InDelta(t, 0, s.Height(tank), 2e-5, "after TD1 the tank is empty")
}

// Euler's backward rule is the same call with no inflow before and the whole
// step.
func TestBackwardEulerStep(t *testing.T) {
	var n water.Network
	tank := n.Tank("tank", 0, water.Upright(0.02))
	n.Emitter("drain", tank, water.Emitter{Coefficient: 1e-4, Exponent: 0.5})
	s := compiled(t, &n)
	s.SetDraw(tank, -5e-5)
	s.Fill(tank, 0.01, 0, 60)
	solve(t, s)
	level := s.Height(tank)
	assert.InDelta(t, 60*(5e-5-1e-4*math.Sqrt(level)), s.Volume(tank)-0.01, 1e-11)
	assert.InDelta(t, s.Volume(tank)-0.01, 60*s.NetInflow(tank), 1e-12)
}

// A small sump with a large overflow has a time constant below a second; an
// implicit step of ten minutes must land at the level where what runs in runs
// out, whatever the regime.
func TestStiffSumpOverflows(t *testing.T) {
	for _, inflow := range []float64{1, 5, 13, 20, 24.1, 30, 60, 200} {
		for _, half := range []float64{0.05, 1, 60, 600, 1e5} {
			var n water.Network
			tank := n.Tank("sump", 0, water.Upright(0.02))
			standpipe := n.Standpipe("standpipe", tank, water.Standpipe{Crest: 0.3, Bore: 0.040})
			rim := n.Weir("rim", tank, water.Weir{Crest: 0.4, Length: 0.5})
			s := compiled(t, &n)
			s.SetDraw(tank, -inflow*litre)
			s.Fill(tank, 0.02*0.29, 0, half)
			require.NoError(t, s.Solve(), "%v L/min over %v s", inflow, half)
			out := s.Outflow(standpipe) + s.Outflow(rim)
			rise := (s.Volume(tank) - 0.02*0.29) / half
			assert.InDelta(t, inflow*litre, out+rise, 1e-11, "%v L/min over %v s: what runs in stays or spills", inflow,
				half)
			assert.Less(t, s.Iterations(), 25, "%v L/min over %v s", inflow, half)
			if depth := s.Height(tank) - 0.4; depth > 0 { // Poleni
				weir := 2.0 / 3 * 0.62 * 0.5 * math.Sqrt(2*water.Standard().Gravity) * math.Pow(depth, 1.5)
				assert.InEpsilon(t, weir, s.Outflow(rim), 1e-6)
			} else {
				assert.Zero(t, s.Outflow(rim))
			}
		}
	}
}

// A top-up valve fills a tank through an air gap: what leaves the open pipe
// arrives in the tank, and the level does not push back.
func TestFreeDischargeIntoATank(t *testing.T) {
	var n water.Network
	end := n.Junction("end of pipe", 2, 0)
	n.Supply("mains", end, water.Inflow{Static: 30, Residual: 20, Flow: 20 * litre})
	tank := n.Tank("tank", 0, water.Upright(0.8))
	second := n.Tank("catch tank", -1, water.Upright(0.1))
	gap := n.Emitter("open end", end, water.Emitter{Coefficient: 20 * litre, Exponent: 0.5, Into: tank})
	overflow := n.Standpipe("overflow", tank, water.Standpipe{Crest: 0.5, Bore: 0.04, Into: second})
	s := compiled(t, &n)
	s.Fill(tank, 0.8*0.495, 0, 60)
	s.Fill(second, 0, 0, 60)
	solve(t, s)
	assert.InDelta(t, s.Outflow(gap)-s.Outflow(overflow), s.NetInflow(tank), 1e-13)
	assert.InDelta(t, 60*s.NetInflow(tank), s.Volume(tank)-0.8*0.495, 1e-10)
	assert.Positive(t, s.Outflow(overflow))
	assert.InDelta(t, 60*s.Outflow(overflow), s.Volume(second), 1e-10, "the catch tank receives the overflow")
}

func TestEmptyTankGivesNoWater(t *testing.T) {
	var n water.Network
	tank := n.Tank("tank", 5, water.Upright(0.5))
	end := n.Junction("end", 0, 0)
	pipe := n.Pipe("pipe", tank, end, water.Pipe{Length: 10, Bore: 0.0204, HazenWilliams: 150})
	hose := n.Emitter("hose", end, water.Emitter{Coefficient: litre, Exponent: 0.5})
	s := compiled(t, &n)
	for _, level := range []float64{0.5, 0, -0.1, 0.2} {
		s.Hold(tank, level)
		solve(t, s)
		assert.Equal(t, level <= 0, s.Isolated(end), "level %v", level)
		assert.Equal(t, level > 0, s.Outflow(hose) > 0, "level %v", level)
		assert.Equal(t, s.Outflow(hose), s.Flow(pipe))
	}
	s.Fill(tank, 0, 0, 1)
	solve(t, s)
	assert.Zero(t, s.Flow(pipe))
	s.Fill(tank, 1e-3, 0, 0.1)
	solve(t, s)
	assert.Positive(t, s.Flow(pipe))
}

// An opening of the tank itself gives no more either, however low it lies.
func TestEmptyTankGivesNoWaterByItsOwnOpenings(t *testing.T) {
	var n water.Network
	tank := n.Tank("tank", 5, water.Upright(0.5))
	hose := n.Emitter("hose", tank, water.Emitter{Coefficient: litre, Exponent: 0.5, Height: -4})
	s := compiled(t, &n)
	for _, level := range []float64{0.5, 0, 0.2, -0.1} {
		s.Hold(tank, level)
		solve(t, s)
		assert.Equal(t, level > 0, s.Outflow(hose) > 0, "level %v", level)
	}
}

func TestEmptyTankTakesWater(t *testing.T) {
	var n water.Network
	tank := n.Tank("tank", 5, water.Upright(0.5))
	source := n.Reservoir("mains", 20)
	pipe := n.Pipe("pipe", tank, source, water.Pipe{Length: 10, Bore: 0.0204, Roughness: 7e-6})
	s := compiled(t, &n)
	for range 2 {
		s.Hold(tank, 0)
		solve(t, s)
		assert.Negative(t, s.Flow(pipe))
		s.SetHead(source, 3)
		solve(t, s)
		assert.Zero(t, s.Flow(pipe))
		s.SetHead(source, 20)
	}
}

// Held and filling tanks in one network, changed over and over: a warm solve
// allocates nothing.
func TestWarmSolvesDoNotAllocate(t *testing.T) {
	var n water.Network
	at := n.Junction("manifold", 0, 0)
	supply := n.Supply("mains", at, water.Inflow{Static: 36, Residual: 24, Flow: 30 * litre})
	tank := n.Tank("tank", 2, water.Upright(0.6))
	valve := n.Valve("valve", at, tank, 3)
	n.Standpipe("overflow", tank, water.Standpipe{Crest: 0.5, Bore: 0.04})
	suction, delivery, zone := n.Junction("suction", 1, 0), n.Junction("delivery", 1, 0), n.Junction("zone", 1, 0)
	n.Pipe("suction pipe", tank, suction, water.Pipe{Length: 2, Bore: 0.0326, Roughness: 7e-6})
	pump := n.Pump("pump", suction, delivery, water.Pump{Points: []water.Point{{Flow: 30 * litre, Head: 18}}})
	regulator := n.Regulator("regulator", delivery, zone, 10, 3)
	drippers := n.Emitter("drippers", zone, water.Emitter{Coefficient: 0.03 * litre, Exponent: 0.05, Count: 48})
	s := compiled(t, &n)
	i := 0
	allocations := testing.AllocsPerRun(200, func() {
		i++
		s.SetStatic(supply, []float64{36, 10, 36}[i%3])
		s.SetKv(valve, []float64{0, 3, 1, 0.2}[i%4])
		s.SetSpeed(pump, []float64{1, 0, 0.8}[i%3])
		s.SetSetting(regulator, []float64{10, 25}[i%2])
		s.SetCoefficient(drippers, []float64{0.03, 0.02}[i%2]*litre)
		if i%5 == 0 {
			s.Hold(tank, []float64{0.3, 0, 0.52}[i%3])
		} else {
			s.Fill(tank, []float64{0.31, 0.005, 0}[i%3], 0, 30)
		}
		if err := s.Solve(); err != nil {
			t.Error(err)
		}
	})
	assert.Zero(t, allocations)
}
