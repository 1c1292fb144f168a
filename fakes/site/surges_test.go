package site_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/internal/surge"
	"ullage/harness/signal"
)

// twoZones is a main of polyethylene from the street with a tail of another pipe, behind which two zones hang that shut
// in 50 ms.
func twoZones(tail string) string {
	return `site: zones
supplies:
  - {name: mains, static: 6 bar, residual: 5.8 bar, at: 30 L/min}
pipes:
  - {name: main, from: mains, length: 60 m, bore: 20.4 mm, wall: 2.3 mm, material: polyethylene}
  - {name: tail, from: main, ` + tail + `}
valves:
  - {name: lawn, from: tail, capacity: 4 m3/h, opens: 500 ms, closes: 50 ms, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
  - {name: hedge, from: tail, capacity: 4 m3/h, opens: 500 ms, closes: 50 ms, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
outlets:
  - {name: sprays, from: lawn, flow: 12 L/min, at: 4 bar}
  - {name: bubblers, from: hedge, flow: 12 L/min, at: 4 bar}
` + controllerOf([]string{"lawn", "hedge"}, nil)
}

const plasticTail = "length: 3 m, bore: 20.4 mm, wall: 2.3 mm, material: polyethylene"

// Two zones run, and shut one after the other; the highest surge of all at the first.
func shutBoth(t *testing.T, text string, apart signal.Time) (peak, pressure, velocity float64) {
	r := open(t, read(t, text))
	r.drive("lawn", true)
	r.drive("hedge", true)
	r.run(10 * second)
	pressure = r.last("lawn.pressure")
	velocity = r.last("mains.flow") / (math.Pi / 4 * 20.4e-3 * 20.4e-3)
	r.drive("lawn", false)
	if apart > 0 {
		r.run(r.now + apart)
	}
	r.drive("hedge", false)
	r.run(r.now + 20*second)
	r.end()
	for _, p := range knocks(r, "lawn") {
		peak = math.Max(peak, p)
	}
	return peak, pressure, velocity
}

// A power cut shuts both zones of one main: the pipe meets the whole of its flow at once.
func TestClosingsThatCoincide(t *testing.T) {
	speed := surge.Pipe{Length: 60, Bore: 20.4e-3, Wall: 2.3e-3, Modulus: 0.8e9}.Speed()
	together, pressure, velocity := shutBoth(t, twoZones(plasticTail), 0)
	rise := surge.Joukowsky(speed, velocity)
	assert.Greater(t, together, pressure+rise, "the flow of both zones stops at once")
	assert.Less(t, together, 6e5+rise, "no more than the whole static pressure and Joukowsky's rise")
	near, _, _ := shutBoth(t, twoZones(plasticTail), 100*millisecond)
	assert.InEpsilon(t, together, near, 0.05, "the second shuts while the wave of the first is still on its way out")
	apart, _, _ := shutBoth(t, twoZones(plasticTail), 15*second)
	assert.Less(t, apart, pressure+rise*0.85, "one after the other, each stops its own flow only")
}

// A tail of copper is narrower and stiffer than the main, and throws waves to and fro within it.
func TestPipesInSeriesKeepTheirWalls(t *testing.T) {
	plastic, _, _ := shutBoth(t, twoZones(plasticTail), 0)
	short, _, _ := shutBoth(t, twoZones("length: 3 m, bore: 13 mm, wall: 1 mm, material: copper"), 0)
	long, pressure, velocity := shutBoth(t, twoZones("length: 60 m, bore: 13 mm, wall: 1 mm, material: copper"), 0)
	copper := surge.Pipe{Bore: 13e-3, Wall: 1e-3, Modulus: 120e9}.Speed()
	assert.InEpsilon(t, pressure+surge.Joukowsky(copper, velocity*math.Pow(20.4/13, 2)), long, 0.1,
		"a long tail knocks as a pipe of copper does")
	assert.Greater(t, short, 2*plastic, "a short tail, in which a wave runs to and fro within the stroke")
}

// pumpedZone is a pump that lifts water into a pipe with a zone at its end.
func pumpedZone(pump, check string) string {
	return fmt.Sprintf(`site: pumped
tanks:
  - {name: cistern, diameter: 1 m, rim: 1300 mm, starts: 900 mm}
pumps:
  - {name: pump, from: cistern, curve: [{flow: 0 L/min, head: 40 m}, {flow: 20 L/min, head: 34 m}, {flow: 40 L/min, head: 15 m}], %s pull-in: 8 V, drop-out: 3 V, coil: 60 ohm}
non-return-valves:
  - {name: check, from: pump, capacity: 4 m3/h%s}
pipes:
  - {name: riser, from: check, length: 80 m, bore: 16 mm, wall: 2 mm, material: polyethylene, height: 12 m}
valves:
  - {name: zone, from: riser, capacity: 3 m3/h, opens: 500 ms, closes: 1.6 s, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
outlets:
  - {name: sprays, from: zone, flow: 15 L/min, at: 1 bar}
`, pump, check) + controllerOf([]string{"pump", "zone"}, nil)
}

// A pump that trips sends a wave of low pressure along its riser. Where nobody has said how it runs down and how its
// non-return valve shuts, no figure is given for it, and it is said that there is none.
func TestAPumpStops(t *testing.T) {
	for _, c := range []struct {
		pump, check string
		computed    bool
	}{
		{"", "", false},
		{"stops-in: 300 ms,", "", false},
		{"", ", shuts-after: 50 ms", false},
		{"stops-in: 300 ms,", ", shuts-after: 50 ms", true},
	} {
		r := open(t, read(t, pumpedZone(c.pump, c.check)))
		r.drive("pump", true)
		r.drive("zone", true)
		r.run(20 * second)
		require.Greater(t, r.last("zone.flow"), 5/60000.0)
		r.drive("pump", false)
		r.run(40 * second)
		r.end()
		missed := r.trace.Column(must(r, "zone.surge-missed")).Value
		if c.computed {
			assert.Len(t, knocks(r, "zone"), 1, "%+v", c)
			assert.Empty(t, missed, "%+v", c)
		} else {
			assert.Empty(t, knocks(r, "zone"), "%+v", c)
			assert.Equal(t, []float64{signal.PumpStopUnknown}, missed, "%+v", c)
		}
	}
}

// A power cut stops the pump and shuts the zone: both are in one computation.
func TestAPowerCutStopsPumpAndZone(t *testing.T) {
	surgeOf := func(both bool) float64 {
		r := open(t, read(t, pumpedZone("stops-in: 300 ms,", ", shuts-after: 50 ms")))
		r.drive("pump", true)
		r.drive("zone", true)
		r.run(20 * second)
		if both {
			r.drive("pump", false)
		}
		r.drive("zone", false)
		r.run(40 * second)
		r.end()
		all := knocks(r, "zone")
		require.NotEmpty(t, all)
		return all[len(all)-1]
	}
	assert.Less(t, surgeOf(true), surgeOf(false), "without the pump there is less head behind the column")
}

// A burst, or a tap, changes the flow at once by something whose wave is not computed; a valve that leaves its seat
// and a street that slowly loses its pressure do not.
func TestSurgesThatAreNotComputedAreSaidToBeMissed(t *testing.T) {
	for knob, missed := range map[[2]string]int{{"main", "hole"}: 1, {"sprays", "passage"}: 1,
		{"mains", "pressure factor"}: 0, {"lawn", "closing factor"}: 0} {
		r := open(t, read(t, twoZones(plasticTail)))
		r.drive("lawn", true)
		r.run(10 * second)
		r.open(knob[0], knob[1], map[string]float64{"hole": 10e-3, "passage": 0.3, "pressure factor": 0.5,
			"closing factor": 2}[knob[1]])
		r.run(20 * second)
		r.end()
		assert.Len(t, r.trace.Column(must(r, "lawn.surge-missed")).Value, missed, "%v", knob)
	}
}

// A surge from the street comes at once, and doubles before a valve that stands shut.
func TestASurgeFromTheStreetDoubles(t *testing.T) {
	r := open(t, read(t, twoZones(plasticTail)))
	r.run(10 * second)
	r.open("mains", "surge", 2e5)
	r.run(20 * second)
	r.end()
	require.Len(t, knocks(r, "lawn"), 1)
	assert.InDelta(t, 6e5+2*2e5, knocks(r, "lawn")[0], 0.02e5)
	assert.Empty(t, r.trace.Column(must(r, "lawn.surge-missed")).Value)
}
