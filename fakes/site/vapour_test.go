package site_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/fakes/water"
	"ullage/harness/signal"
)

// siphon is a tank whose water, 1 m deep, runs over a crest and down to an opening 3 m below its floor.
// Its nozzles are too narrow for air to come in beside the water: it stays full while the valve is shut.
func siphon(crest, altitude, celsius float64) string {
	return fmt.Sprintf(`site: siphon
altitude: %g m
water-temperature: %g °C
valves:
  - {name: valve, from: tank, capacity: 5 m3/h, opens: 500 ms, closes: 1.5 s, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
pipes:
  - {name: up, from: valve, length: 12 m, bore: 20 mm, height: %g m}
  - {name: down, from: up, length: 12 m, bore: 20 mm, height: -3 m}
outlets:
  - {name: nozzle, from: down, count: 2, bore: 4.2426 mm}
tanks:
  - {name: tank, floor: 0 m, length: 10 m, width: 10 m, rim: 2 m, starts: 1 m}
`, altitude, celsius, crest) + controllerOf([]string{"valve"}, nil)
}

// reach is how high the air lifts water, m, with the figures of a table of the standard atmosphere and of steam tables.
func reach(air, vapour float64) float64 { return (air - vapour) / (998.2 * 9.80665) }

// A siphon runs as long as its crest is lower over the water than the air lifts it, with less water where little is
// missing, and stands still above.
func TestSiphonsOverHighCrests(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "height over which no siphon runs",
		Equation:  "z = h + (pₐ − pᵥ)/ρg, found by halving with a network solved",
		Source:    "standard atmosphere of ISO 2533 and steam tables (from memory), by hand, 0 to 2000 m and 10 to 40 °C",
		Tolerance: 1e-3})
	for _, x := range []struct{ altitude, celsius, air, vapour float64 }{
		{0, 20, 101325, 2339}, {0, 40, 101325, 7385}, {500, 10, 95461, 1228}, {1000, 20, 89875, 2339},
		{2000, 30, 79495, 4247},
	} {
		low, high := 2.0, 14.0
		for range 14 {
			middle := (low + high) / 2
			r := open(t, read(t, siphon(middle, x.altitude, x.celsius)))
			r.drive("valve", true)
			r.run(10 * signal.Second)
			if r.last("nozzle.flow") > 0 {
				low = middle
			} else {
				high = middle
				require.Equal(t, 1.0, r.last("up.vapour"), "it stands at a crest of %g m, and the run does not say why",
					middle)
			}
			require.GreaterOrEqual(t, r.last("up.pressure"), x.vapour-x.air-1e-4*x.air, "below the pressure of vapour")
		}
		c.Near(1+reach(x.air, x.vapour), low, "at %g m and %g °C", x.altitude, x.celsius)
	}
}

// limb is the flow through 12 m of smooth pipe of 20 mm and a Kv with a head, by Swamee and Jain 1976 for the friction
// and by halving.
func limb(head, kv float64) float64 {
	low, high := 0.0, 1e-2
	for range 60 {
		q := (low + high) / 2
		velocity := q / (math.Pi / 4 * 0.02 * 0.02)
		re := velocity * 0.02 / water.Standard().Viscosity
		log := math.Log10(7e-6/0.02/3.7 + 5.74/math.Pow(re, 0.9))
		if 0.25/log/log*12/0.02*velocity*velocity/2/9.80665+math.Pow(q*3600/kv, 2)*1e5/(998.2*9.80665) < head {
			low = q
		} else {
			high = q
		}
	}
	return low
}

// What a siphon gives just below the limit is what its first limb brings with the head that the air leaves it.
func TestSiphonThatRunsDryAtItsCrest(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "flow of a siphon with vapour at its crest",
		Equation:  "h − z + (pₐ − pᵥ)/ρg = f L/D v²/2g + (q/Kv)²",
		Source:    "Swamee and Jain 1976 for f, solved by halving in the test: crests 9.7 and 9.9 m over the water (recomputed)",
		Tolerance: 1e-2})
	for _, crest := range []float64{10.7, 10.9} {
		r := open(t, read(t, siphon(crest, 0, 20)))
		r.drive("valve", true)
		r.run(10 * signal.Second)
		r.end()
		assert.Equal(t, 1.0, r.last("up.vapour"))
		c.Near(limb(1-crest+reach(101325, 2339), 5)*60000, r.last("nozzle.flow")*60000, "crest at %g m", crest)
		assert.InDelta(t, 2339-101325, r.last("up.pressure"), 30, "the pressure of vapour")
		out, err := r.site.Balance(r.trace)
		require.NoError(t, err)
		assert.InDelta(t, 0, out, 1e-6)
	}
	r := open(t, read(t, siphon(8, 0, 20)))
	r.drive("valve", true)
	r.run(10 * signal.Second)
	assert.Zero(t, r.last("up.vapour"), "it is low enough")
}

// well is a pump that draws water up through a suction pipe.
func well(lift, length, bore, altitude, npsh float64) string {
	return fmt.Sprintf(`site: well
altitude: %g m
pumps:
  - {name: pump, from: suction, height: %g m, npsh: %g m, curve: [{flow: 0 L/min, head: 40 m}, {flow: 40 L/min, head: 20 m}], pull-in: 8 V, drop-out: 3 V, coil: 100 ohm}
pipes:
  - {name: suction, from: tank, length: %g m, bore: %g mm, height: %g m}
outlets:
  - {name: nozzle, from: pump, bore: 6 mm}
tanks:
  - {name: tank, floor: 0 m, length: 10 m, width: 10 m, rim: 2 m, starts: 1 m}
`, altitude, lift, npsh, length, bore*1000, lift) + controllerOf([]string{"pump"}, nil)
}

// A pump gives what comes up to it at the pressure of vapour, less what it needs above that; where nothing does, it runs
// dry.
func TestPumpsThatDrawDeep(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "flow of a pump that cavitates",
		Equation:  "h − z + (pₐ − pᵥ)/ρg − NPSH = f L/D v²/2g + suction",
		Source:    "Swamee and Jain 1976 for f, solved by halving in the test: lifts of 8.5 to 9.6 m through 12 m of 20 mm, at 0 and 500 m (recomputed)",
		Tolerance: 1e-2})
	for _, x := range []struct{ lift, altitude, air, npsh float64 }{
		{9.5, 0, 101325, 0}, {10, 0, 101325, 0}, {10.5, 0, 101325, 0}, {9.6, 500, 95461, 0}, {8.5, 0, 101325, 2},
	} {
		r := open(t, read(t, well(x.lift, 12, 0.02, x.altitude, x.npsh)))
		r.drive("pump", true)
		r.run(10 * signal.Second)
		assert.Equal(t, 1.0, r.last("pump.vapour"), "drawing up %g m", x.lift)
		assert.Zero(t, r.last("pump.dry"))
		head := 1 - x.lift + reach(x.air, 2339) - x.npsh
		c.Near(limb(head, 20)*60000, r.last("pump.flow")*60000, "drawing up %g m at %g m", x.lift, x.altitude)
	}
	for lift, runs := range map[float64]bool{4: true, 13.5: false} {
		r := open(t, read(t, well(lift, 14, 0.032, 0, 0)))
		r.drive("pump", true)
		r.run(10 * signal.Second)
		assert.Equal(t, runs, r.last("pump.flow") > 0, "a pump that draws up %g m", lift)
		assert.Equal(t, !runs, r.last("pump.dry") == 1, "a pump that draws up %g m", lift)
		assert.Equal(t, !runs, r.last("pump.vapour") == 1, "a pump that draws up %g m", lift)
		r.drive("pump", false)
		r.run(20 * signal.Second)
		assert.Zero(t, r.last("pump.dry"), "it stands")
	}
}
