package site_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/harness/signal"
)

// garden is a tank that drains for hours through a long pipe; its float meets two levels on the way.
func garden() string {
	return `site: garden
valves:
  - {name: valve, from: tank, capacity: 5 m3/h, opens: 100 ms, closes: 100 ms, pull-in: 8 V, drop-out: 3 V, coil: 36 ohm}
pipes:
  - {name: down, from: valve, length: 60 m, bore: 13 mm, height: -2 m, hazen-williams: 150}
outlets:
  - {name: nozzle, from: down, bore: 4 mm}
tanks:
  - {name: tank, length: 1 m, width: 500 mm, rim: 2 m, starts: 1.5 m}
contacts:
  - {name: half, in: tank, operates: 750 mm, releases: 760 mm, normally: open}
  - {name: low, in: tank, operates: 250 mm, releases: 260 mm, normally: open}
` + controllerOf([]string{"valve"}, []string{"half", "low"})
}

// drained integrates the same tank by the rule of Runge and Kutta in steps of a second, from when its valve is
// open; the flow of a level is found by halving.
func drained(level float64, seconds int) []float64 {
	flow := func(level float64) float64 {
		low, high := 0.0, 1e-3
		for range 50 {
			q := (low + high) / 2
			nozzle := q / (math.Pi / 4 * 0.004 * 0.004)
			lost := 10.67*60*math.Pow(q/150, 1.852)/math.Pow(0.013, 4.8704) +
				math.Pow(q*3600/5, 2)*1e5/(998.2*9.80665) + nozzle*nozzle/2/9.80665
			if lost < level+2 {
				low = q
			} else {
				high = q
			}
		}
		return low / 0.5 // m/s
	}
	levels := []float64{level}
	for range seconds {
		a := flow(level)
		b := flow(level - a/2)
		c := flow(level - b/2)
		level -= (a + 2*b + 2*c + flow(level-c)) / 6
		levels = append(levels, level)
	}
	return levels
}

// What a level misses after hours of small steps, and by how much a float that it meets is early or late.
func TestLevelsDoNotDriftForHours(t *testing.T) {
	r := open(t, read(t, garden()))
	r.drive("valve", true)
	r.run(3*signal.Hour + signal.Minute)
	r.end()
	column, first := r.trace.Column(must(r, "tank.level")), 0
	for column.At[first] < signal.Second { // until the valve is open
		first++
	}
	begins := column.At[first].Seconds()
	levels := drained(column.Value[first], 3*3600)
	want := func(seconds float64) float64 {
		whole := int(seconds - begins)
		part := seconds - begins - float64(whole)
		return levels[whole] + (levels[whole+1]-levels[whole])*part
	}

	drift := accuracy.New(t, accuracy.Row{Computation: "level of a tank that drains for three hours",
		Equation:  "A dh/dt = −q(h), q by Hazen and Williams, Kv and Torricelli; trapezoidal steps with error control",
		Source:    "the same equation integrated by Runge and Kutta in steps of a second, q by halving (recomputed)",
		Tolerance: 3e-5, Unit: "m"})
	for _, after := range []float64{1800, 3600, 7200, 10800} {
		drift.Near(want(after), r.at("tank.level", signal.FromSeconds(after)), "after %g s", after)
	}
	early := accuracy.New(t, accuracy.Row{Computation: "moment at which a float meets a falling level, after up to three hours",
		Equation:  "as above, on the parabola of the step",
		Source:    "the same integration",
		Tolerance: 2e-4})
	for contact, level := range map[string]float64{"half": 0.75, "low": 0.25} {
		seconds := 0.0
		for step := 8192.0; step > 1e-4; step /= 2 {
			if seconds+step < 3*3600 && want(begins+seconds+step) > level {
				seconds += step
			}
		}
		got := r.changes(contact+".operated", 1)
		require.Len(t, got, 1)
		early.Near(begins+seconds, got[0].Seconds(), "the float %s", contact)
	}
}
