package site_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/harness"
	"ullage/harness/signal"
)

// What opens a valve whose coil is off, or keeps one shut whose coil is on; let go it does as its coil says.
func TestWhatOverrulesACoil(t *testing.T) {
	for _, c := range []struct {
		name, device, knob string
		value              float64
		lifted, coil       bool // the coil was on before, and is now
		open               bool
	}{
		{"grit comes under a plunger that is up", "valve", "pilot grit", 1, true, false, true},
		{"grit under a plunger that is down does not lift it", "valve", "pilot grit", 1, false, false, false},
		{"the bleed is open", "valve", "bleed open", 1, false, false, true},
		{"the output has failed on", "valve", "output failed", 1, false, false, true},
		{"the output has failed off", "valve", "output failed", -1, true, true, false},
		{"the common wire is open", harness.PowerName, "common open", 1, true, true, false},
	} {
		for _, site := range []string{header(3, 2, 1.5), hose("diaphragm")} {
			t.Run(c.name, func(t *testing.T) {
				r := open(t, read(t, site))
				r.drive("valve", c.lifted)
				r.run(5 * signal.Second)
				r.open(c.device, c.knob, c.value)
				r.drive("valve", c.coil)
				r.run(15 * signal.Second)
				assert.Equal(t, c.open, r.last("valve.disc") == 1, "the disc stands at %g", r.last("valve.disc"))
				assert.Equal(t, c.open, r.last("nozzle.flow") > 0)
				r.close(c.device, c.knob, c.value)
				r.run(30 * signal.Second)
				assert.Equal(t, c.coil, r.last("valve.disc") == 1, "let go it must do as its coil says")
			})
		}
	}
}

// What a pilot valve does that is fitted against its arrow: open as long as there is pressure, whatever the coil does.
func TestPilotValveFittedBackwards(t *testing.T) {
	for _, coil := range []bool{false, true} {
		r := open(t, read(t, header(3, 2, 1.5)))
		r.open("mains", "pressure factor", 0)
		r.open("valve", "backwards", 1)
		r.drive("valve", coil)
		r.run(10 * signal.Second)
		assert.Equal(t, 0.0, r.last("valve.disc"), "without pressure its spring shuts it")
		r.close("mains", "pressure factor", 0)
		r.run(20 * signal.Second)
		assert.Equal(t, 1.0, r.last("valve.disc"), "the water lifts it")
		assert.Greater(t, r.last("nozzle.flow"), 15*litrePerMinute)
		r.close("valve", "backwards", 1)
		r.run(40 * signal.Second)
		assert.Equal(t, coil, r.last("valve.disc") == 1, "turned round it does as its coil says")
	}
}

// Debris holds the disc so many times, and the water that lifts the disc off it the last time carries it away.
func TestDebrisWashesAway(t *testing.T) {
	r := open(t, read(t, hose("diaphragm")))
	r.open("valve", "debris strokes", 2)
	r.open("valve", "debris", 0.1)
	var discs []float64
	for range 4 {
		r.drive("valve", true)
		r.run(r.now + 5*signal.Second)
		r.drive("valve", false)
		r.run(r.now + 20*signal.Second)
		discs = append(discs, r.last("valve.disc"))
	}
	assert.Equal(t, []float64{0.1, 0.1, 0, 0}, discs, "where the disc comes to rest after each run")
}

// A worn pump has the head of a slower one: head with the square, flow with the speed (affinity laws). Its point on the
// nozzle is found here by halving.
func TestWornPump(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "flow of a worn pump",
		Equation: "H = s² H0 − A Q², from H(Q/s) s² (affinity laws)",
		Source:   "two points of a curve, affinity laws as in any handbook of pumps (from memory), solved with the nozzle by halving in the test (recomputed)", Tolerance: 2e-3})
	for _, share := range []float64{1, 0.8, 0.5, 0.3} {
		r := open(t, read(t, pumped("tank", "")))
		if share < 1 {
			r.open("pump", "head", share)
		}
		r.drive("pump", true)
		r.run(10 * signal.Second)
		perFlow := 12 / math.Pow(20*litrePerMinute, 2)
		left := func(q float64) float64 { // m that are left at the nozzle with a flow of q
			suction := math.Pow(q*3600/20, 2) * 1e5
			nozzle := 1e5 * math.Pow(q/(10*litrePerMinute), 2)
			return share*24 - perFlow*q*q - 2 + r.last("tank.level") - (suction+nozzle)/(998.2*9.80665)
		}
		low, high := 0.0, 1e-3
		for range 60 {
			if middle := (low + high) / 2; left(middle) > 0 {
				low = middle
			} else {
				high = middle
			}
		}
		c.Near(low, r.last("pump.flow"), "with %g of its head", share)
	}
	r := open(t, read(t, pumped("tank", "")))
	r.open("pump", "head", 0.05) // 1.2 m, for a lift of 1.85 m
	r.drive("pump", true)
	r.run(10 * signal.Second)
	assert.Zero(t, r.last("nozzle.flow"), "it does not lift the water so high")
	assert.Equal(t, 1.0, r.last("pump.running"))
}

func TestContactorsAndMotorsOfPumps(t *testing.T) {
	r := open(t, read(t, pumped("tank", "")))
	r.open("pump", "welded", 1)
	r.run(5 * signal.Second)
	assert.Zero(t, r.last("pump.running"), "a contactor welds when it is in")
	r.drive("pump", true)
	r.run(8 * signal.Second)
	r.drive("pump", false)
	r.run(20 * signal.Second)
	assert.Equal(t, []float64{0, 1}, []float64{r.last("pump.coil"), r.last("pump.running")},
		"the coil is off and the pump runs on")
	r.open("power", "voltage factor", 0)
	assert.Equal(t, 1.0, r.last("pump.running"),
		"the contactor switches the mains, which the controller's supply is not")
	r.close("power", "voltage factor", 0)
	r.close("pump", "welded", 1)
	assert.Zero(t, r.last("pump.running"), "freed it comes out")

	r.open("pump", "seized", 1)
	r.drive("pump", true)
	r.run(30 * signal.Second)
	assert.Equal(t, []float64{1, 0, 0}, []float64{r.last("pump.coil"), r.last("pump.running"), r.last("nozzle.flow")},
		"it is called and stands")
	r.close("pump", "seized", 1)
	assert.Equal(t, 1.0, r.last("pump.running"))
}

func TestFrozenPipeAndSurgeFromTheStreet(t *testing.T) {
	r := open(t, read(t, hose("linear")))
	r.drive("valve", true)
	r.run(10 * signal.Second)
	before, pressure := r.last("nozzle.flow"), r.last("mains.pressure")
	r.open("pipe", "ice", 1)
	assert.Zero(t, r.last("nozzle.flow"), "no water passes ice")
	assert.InDelta(t, 3e5, r.last("mains.pressure"), 1, "and the mains stand at rest")
	r.close("pipe", "ice", 1)
	assert.InDelta(t, before, r.last("nozzle.flow"), before*1e-9, "thawed it is as it was")
	r.open("mains", "surge", 2e5)
	q := r.last("mains.flow")
	assert.InDelta(t, 5e5-1e5*math.Pow(q/(30*litrePerMinute), 1/0.54), r.last("mains.pressure"), 20,
		"both readings of the mains are higher by the surge")
	r.close("mains", "surge", 2e5)
	assert.InDelta(t, pressure, r.last("mains.pressure"), 1e-3)
	r.end()
	out, err := r.site.Balance(r.trace)
	require.NoError(t, err)
	assert.InDelta(t, 0, out, 1e-6)
}

// Water that stands moves by no rounding of the solver, which over hours would be water that nobody lost: not under a
// surge of the street, nor when the mains go off before valves that are shut.
func TestStandingWaterBalances(t *testing.T) {
	for _, c := range []struct {
		name, knob string
		value      float64
	}{
		{"a surge before shut valves", "surge", 10e5},
		{"the highest surge", "surge", 20e5},
		{"the mains go off", "pressure factor", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := open(t, shipped(t, "tern-lane"))
			r.open("master", "output failed", 1)
			r.run(10 * signal.Second)
			r.open("mains", c.knob, c.value)
			r.run(5 * signal.Minute)
			trace := r.end()
			for _, name := range []string{"mains.flow", "meter.flow", "mains.return"} {
				id, _ := trace.Find(name)
				assert.Equal(t, []float64{0}, trace.Column(id).Value, "%s, with every valve behind the master shut",
					name)
			}
			out, err := r.site.Balance(trace)
			require.NoError(t, err)
			assert.InDelta(t, 0, out, 1e-9, "the water does not balance")
		})
	}
}

// Spikes come in their share of the seconds, up as often as down, and leave the others alone.
func TestSpikes(t *testing.T) {
	r, calm := open(t, read(t, probed(t, inVolts))), open(t, read(t, probed(t, inVolts)))
	r.open("probe", "spikes", 0.05)
	r.open("probe", "spike", 0.4)
	up, down := 0, 0
	for at := signal.Second / 2; at < 4000*signal.Second; at += signal.Second {
		r.run(at)
		calm.run(at)
		switch off := (r.reads("probe", harness.AnalogueTerminal) - calm.reads("probe",
			harness.AnalogueTerminal)) * 1001e3 / 1e6; {
		case math.Abs(off-0.4) < 1e-9:
			up++
		case math.Abs(off+0.4) < 1e-9:
			down++
		default:
			require.InDelta(t, 0, off, 1e-9, "a reading that is neither sound nor a spike")
		}
	}
	assert.InDelta(t, 200, float64(up+down), 56, "spikes in 4000 seconds: four standard errors")
	assert.InDelta(t, 0, float64(up-down), 57, "as many up as down")
}

// A slow probe follows the soil as T dx/dt = w - x, which the test integrates over what a quick probe shows.
func TestSlowProbe(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "probe that is late",
		Equation: "T dx/dt = w − x, closed form along the soil's straight lines",
		Source:   "the same equation integrated by the midpoint rule in steps of a second over what a quick probe shows, 30 mm of rain in an hour", Tolerance: 1e-3, Unit: "V"})
	for _, constant := range []float64{120, 1800, 4 * 3600} {
		slow, quick := open(t, read(t, probed(t, inVolts))), open(t, read(t, probed(t, inVolts)))
		slow.open("probe", "lag", constant)
		for _, r := range []*rig{slow, quick} {
			r.open("bed", "rain", 30e-3/3600)
		}
		shows, last := quick.reads("probe", harness.AnalogueTerminal), quick.reads("probe", harness.AnalogueTerminal)
		for at := signal.Time(0); at < 6*signal.Hour; {
			at += signal.Second
			if at == signal.Hour {
				slow.run(at)
				quick.run(at)
				slow.close("bed", "rain", 30e-3/3600)
				quick.close("bed", "rain", 30e-3/3600)
			}
			quick.run(at)
			now := quick.reads("probe", harness.AnalogueTerminal)
			middle := (last + now) / 2
			half := shows + (middle-shows)/constant/2
			shows, last = shows+(middle-half)/constant, now
			if at%(10*signal.Minute) == 0 {
				slow.run(at)
				c.Near(shows, slow.reads("probe", harness.AnalogueTerminal), "after %v with a constant of %g s", at,
					constant)
			}
		}
	}
}
