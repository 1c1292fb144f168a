package site_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/harness/signal"
)

// hose is a mains, one valve that opens in 500 ms and closes in 2 s, and an open end.
func hose(characteristic string) string {
	return `site: hose
supplies:
  - {name: mains, static: 3 bar, residual: 2 bar, at: 30 L/min}
meters:
  - {name: meter, from: mains, capacity: 5 m3/h, per-pulse: 500 mL}
valves:
  - {name: valve, from: meter, capacity: 2 m3/h, opens: 500 ms, closes: 2 s, characteristic: ` + characteristic + `, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
pipes:
  - {name: pipe, from: valve, length: 20 m, bore: 16 mm}
outlets:
  - {name: nozzle, from: pipe, flow: 10 L/min, at: 2 bar}
` + controllerOf([]string{"valve"}, nil)
}

func TestValveStrokes(t *testing.T) {
	const s, ms = signal.Second, signal.Millisecond
	type deed struct {
		at    signal.Time
		what  string // "on", "off", or a knob
		value float64
	}
	for _, c := range []struct {
		name   string
		deeds  []deed
		discs  map[signal.Time]float64
		opens  []signal.Time
		closes []signal.Time // after the start
	}{
		{"opens and closes in its stroke times", []deed{{1 * s, "on", 0}, {5 * s, "off", 0}},
			map[signal.Time]float64{1250 * ms: 0.5, 1500 * ms: 1, 6 * s: 0.5, 7 * s: 0}, []signal.Time{1 * s},
			[]signal.Time{7 * s}},
		{"turns round in the middle of its stroke", []deed{{1 * s, "on", 0}, {1300 * ms, "off", 0}},
			map[signal.Time]float64{1300 * ms: 0.6, 1800 * ms: 0.35, 2500 * ms: 0}, []signal.Time{1 * s},
			[]signal.Time{2500 * ms}},
		{"turns round again on the way down", []deed{{1 * s, "on", 0}, {2 * s, "off", 0}, {3 * s, "on", 0}},
			map[signal.Time]float64{3 * s: 0.5, 3250 * ms: 1}, []signal.Time{1 * s}, nil},
		{"held open it stops at what holds it", []deed{{1 * s, "on", 0}, {2 * s, "held open", 0.3}, {3 * s, "off", 0}},
			map[signal.Time]float64{4400 * ms: 0.3, 9 * s: 0.3}, []signal.Time{1 * s}, nil},
		{"what is let go closes", []deed{{1 * s, "on", 0}, {2 * s, "held open", 0.3}, {3 * s, "off", 0}, {6 * s,
			"held open", 0}},
			map[signal.Time]float64{6 * s: 0.3, 6300 * ms: 0.15}, []signal.Time{1 * s}, []signal.Time{6600 * ms}},
		{"grit does not lift a disc from its seat", []deed{{1 * s, "held open", 0.3}},
			map[signal.Time]float64{5 * s: 0}, nil, nil},
		{"a disc that never came so high is not held", []deed{{1 * s, "held open", 0.9}, {2 * s, "on", 0}, {2200 * ms,
			"off", 0}},
			map[signal.Time]float64{2200 * ms: 0.4, 5 * s: 0}, []signal.Time{2 * s}, []signal.Time{3 * s}},
		{"held shut it does not lift", []deed{{1 * s, "held shut", 0}, {2 * s, "on", 0}},
			map[signal.Time]float64{5 * s: 0}, nil, nil},
		{"held low it lifts in part", []deed{{1 * s, "held shut", 0.4}, {2 * s, "on", 0}, {4 * s, "off", 0}},
			map[signal.Time]float64{2200 * ms: 0.4, 3 * s: 0.4, 4800 * ms: 0}, []signal.Time{2 * s},
			[]signal.Time{4800 * ms}},
		{"an open disc that seizes stays, and still falls", []deed{{1 * s, "on", 0}, {3 * s, "held shut", 0}, {5 * s,
			"off", 0}},
			map[signal.Time]float64{4 * s: 1, 7 * s: 0}, []signal.Time{1 * s}, []signal.Time{7 * s}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := open(t, read(t, hose("diaphragm")))
			held := map[string]float64{"held open": 0, "held shut": 1}
			rest := map[string]float64{"held open": 0, "held shut": 1}
			for _, d := range c.deeds {
				r.run(d.at)
				switch d.what {
				case "on", "off":
					r.drive("valve", d.what == "on")
				default:
					if held[d.what] != rest[d.what] {
						r.close("valve", d.what, held[d.what])
					}
					if held[d.what] = d.value; d.value != rest[d.what] {
						r.open("valve", d.what, d.value)
					}
				}
			}
			r.run(10 * s)
			r.end()
			for at, want := range c.discs {
				assert.InDelta(t, want, r.at("valve.disc", at), 1e-9, "the disc stands wrong at %v", at)
			}
			assert.Equal(t, c.opens, r.changes("valve.open", 1), "the valve leaves its seat at other moments")
			assert.Equal(t, c.closes, append([]signal.Time(nil), r.changes("valve.open", 0)[1:]...),
				"the valve comes to its seat at other moments")
			if r.last("valve.disc") == 0 {
				assert.Zero(t, r.last("nozzle.flow"), "water passes a valve that is shut")
			}
		})
	}
}

// The capacity at half of the stroke, by each characteristic, seen in the flow: with Kv2 the flow at the opening that
// the characteristic gives, the loss over the valve is (flow in m³/h / Kv)² bar (IEC 60534-2-1).
func TestCharacteristics(t *testing.T) {
	for characteristic, share := range map[string]float64{
		"linear": 0.5, "quick-opening": math.Sqrt(0.5), "equal-percentage": (math.Sqrt(50) - 1) / 49,
		"diaphragm": 1 - math.Pow(0.5, 3.5),
	} {
		t.Run(characteristic, func(t *testing.T) {
			r := open(t, read(t, hose(characteristic)))
			r.open("valve", "held shut", 0.5)
			r.drive("valve", true)
			r.run(signal.Minute)
			r.end()
			q := r.last("valve.flow")
			kv := 2 * share
			loss := math.Pow(q*3600/kv, 2) // bar
			assert.InDelta(t, loss*1e5, r.last("valve.pressure")-behind(r, q), 20,
				"the loss over the valve is not that of its Kv at half a stroke")
		})
	}
}

// behind is the pressure behind the valve of the hose: that of the nozzle, and the pipe before it by Darcy and Weisbach
// with the friction of Colebrook and White, iterated.
func behind(r *rig, q float64) float64 {
	const bore, length, rough, density, viscosity = 0.016, 20.0, 7e-6, 998.2, 1.0034e-6
	v := q / (math.Pi / 4 * bore * bore)
	re := v * bore / viscosity
	f := 0.02
	for range 50 {
		f = math.Pow(-2*math.Log10(rough/(3.7*bore)+2.51/(re*math.Sqrt(f))), -2)
	}
	return r.last("nozzle.pressure") + f*length/bore*density*v*v/2
}

// The contact of a meter closes after half a pulse volume and opens after a whole one: floor(2 V / pulse) edges.
func TestMeterCountsWhatPasses(t *testing.T) {
	r := open(t, read(t, hose("linear")))
	for i, length := range []signal.Time{10, 67, 3, 120} {
		r.drive("valve", true)
		r.run(r.now + length*signal.Second)
		r.drive("valve", false)
		r.run(r.now + 5*signal.Second)
		edges := len(r.changes("meter.closed", 0)) - 1 + len(r.changes("meter.closed", 1))
		r.site.Close()
		volume := r.last("meter.volume")
		require.Equal(t, int(2*volume/0.5e-3), edges, "after run %d the meter has passed %g L", i+1, volume*1e3)
	}
	pulses := r.changes("meter.closed", 1)
	for i := 1; i < len(pulses); i++ {
		per := r.at("meter.volume", pulses[i]) - r.at("meter.volume", pulses[i-1])
		assert.InDelta(t, 0.5e-3, per, 2e-6, "a pulse stands for another volume")
	}
}

// The mains by its two readings (NFPA 291: the loss grows with flow^(1/0.54)), turned down by the knob.
func TestPressureFactor(t *testing.T) {
	r := open(t, read(t, hose("linear")))
	r.drive("valve", true)
	r.run(signal.Minute)
	check := func(factor float64) {
		q := r.last("mains.flow")
		require.Positive(t, q)
		want := factor*3e5 - 1e5*math.Pow(q/(30*litrePerMinute), 1/0.54)
		assert.InDelta(t, want, r.last("mains.pressure"), 20,
			"the mains gives another pressure than its readings at a factor of %g", factor)
	}
	check(1)
	before := r.last("nozzle.flow")
	r.open("mains", "pressure factor", 0.5)
	check(0.5)
	assert.Less(t, r.last("nozzle.flow"), before*0.8, "less pressure must bring less water")
	r.close("mains", "pressure factor", 0.5)
	check(1)
	assert.InDelta(t, before, r.last("nozzle.flow"), before*1e-9, "the flow must be what it was")
	r.open("mains", "pressure factor", 0)
	assert.Zero(t, r.last("nozzle.flow"), "no pressure, no water; and none runs back into the mains")
	assert.Zero(t, r.last("mains.flow"))
}

// The steady state of Tern Lane with the sprays on, worked out by hand from the site file: mains, meter, preventer
// (with the 0.55 bar that its springs take), master, 28 m of pipe, valve, 6 m of pipe up 0.6 m, eight nozzles of 2.1
// L/min at 2 bar.
func TestTernLaneSpraysByHand(t *testing.T) {
	r := open(t, shipped(t, "tern-lane"))
	r.drive("master", true)
	r.drive("sprays", true)
	r.run(signal.Minute)
	r.end()
	const density, gravity, viscosity, bore, rough = 998.2, 9.80665, 1.0034e-6, 20.4e-3, 7e-6
	left := func(q float64) float64 { // Pa that are missing at the nozzles with a flow of q
		v := q / (math.Pi / 4 * bore * bore)
		re := v * bore / viscosity
		f := 0.02
		for range 50 {
			f = math.Pow(-2*math.Log10(rough/(3.7*bore)+2.51/(re*math.Sqrt(f))), -2)
		}
		p := 3.6e5 - 1.2e5*math.Pow(q/(30*litrePerMinute), 1/0.54)
		for _, kv := range []float64{5, 4, 6, 3} {
			p -= math.Pow(q*3600/kv, 2) * 1e5
		}
		p -= (f*34/bore + 4) * density * v * v / 2
		p -= density*gravity*0.6 + 0.55e5
		return p - 2e5*math.Pow(q/(8*2.1*litrePerMinute), 2)
	}
	low, high := 1e-6, 1e-3
	for range 60 {
		if middle := (low + high) / 2; left(middle) > 0 {
			low = middle
		} else {
			high = middle
		}
	}
	assert.InDelta(t, low, r.last("nozzles.flow"), low*1e-6, "the sprays give another flow than by hand")
	assert.InDelta(t, low, r.last("meter.flow"), low*1e-6, "what the nozzles give must pass the meter")
	assert.InDelta(t, 2e5*math.Pow(low/(8*2.1*litrePerMinute), 2), r.last("nozzles.pressure"), 1,
		"pressure at the nozzles")
}
