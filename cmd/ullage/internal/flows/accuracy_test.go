package flows_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ullage/fakes/accuracy"
	"ullage/harness/quantity"
)

// What the closed forms below are computed with: standard gravity, and water at 20 °C.
const (
	gravity = 9.80665
	weight  = 998.2 * gravity // Pa per metre of water
)

// handbook is the result in a row of handbook.csv.
func handbook(t *testing.T, id string) float64 {
	file, err := os.Open("../../../../testdata/reference/hydraulics/handbook.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)
	for _, row := range rows {
		if row[0] == id {
			result, err := strconv.ParseFloat(row[5], 64)
			require.NoError(t, err)
			return result
		}
	}
	require.Fail(t, "no such row", "handbook.csv has no %s", id)
	return 0
}

// valveHead is the head in m that a valve with a Kv of 1000 m³/h loses at a flow in m³/s: almost nothing (IEC
// 60534-2-1).
func valveHead(q float64) float64 {
	perKv := q * 3600 / 1000
	return 1e5 / weight * perKv * perKv
}

// fed is a site whose mains give 20 L/min at 3 bar to a tank through 100 m of pipe, 20.4 mm wide with a C of 150: row
// HW1a of handbook.csv. The inlet is rated so that these flow.
func fed(t *testing.T, bore string) (site string, q, before float64) {
	q = 20.0 / 60000
	before = 3e5 - (handbook(t, "HW1a")+valveHead(q))*weight
	return fmt.Sprintf(`supplies: [{name: mains, static: 3.4 bar, residual: 3 bar, at: 20 L/min}]
pipes: [{name: pipe, from: valve, length: 100 m, bore: 20.4 mm, hazen-williams: 150}]
valves: [{name: valve, from: mains, capacity: 1000 m3/h, opens: 1 s, closes: 1 s, %s}]
outlets: [{name: inlet, from: pipe, flow: 20 L/min, at: %.6f Pa, into: tank, air-gap: 100 mm, height: 0 m}]
tanks: [{name: tank, floor: -1.1 m, length: 1 m, width: 500 mm, rim: 1 m, standpipe: {crest: 900 mm, bore: %s}, starts: 200 mm}]
contacts:
  - {name: low, in: tank, operates: 300 mm, releases: 350 mm, normally: open}
  - {name: high, in: tank, operates: 800 mm, releases: 750 mm, normally: open}
`, coil, before, bore), q, before
}

const fill = `    fill: {valve: valve, low: low, high: high, debounce: 1 s, longest-run: 1 h, attempts: 3, pause: 1 min}
`

// gravityFed is a site whose lower tank is filled from an upright one above it, of a diameter in mm.
func gravityFed(diameter int) string {
	return fmt.Sprintf(`valves: [{name: valve, from: upper, capacity: 1000 m3/h, opens: 1 s, closes: 1 s, %s}]
outlets: [{name: inlet, from: valve, bore: 12 mm, into: lower, air-gap: 1 m}]
tanks:
  - {name: upper, floor: 2 m, diameter: %d mm, rim: 1.5 m, starts: 1.2 m}
  - {name: lower, length: 1 m, width: 500 mm, rim: 1 m, starts: 200 mm}
contacts:
  - {name: low, in: lower, operates: 100 mm, releases: 150 mm, normally: open}
  - {name: high, in: lower, operates: 800 mm, releases: 750 mm, normally: open}
`, coil, diameter)
}

func TestPressureAndVelocityByHand(t *testing.T) {
	water, q, before := fed(t, "40 mm")
	s := set(t, of(t, read(t, water, []string{"valve"}, []string{"low", "high"}, fill)), "valve")
	c := accuracy.New(t, accuracy.Row{Computation: "pressure and velocity of a set (`ullage flows`)",
		Equation:  "supply curve, Hazen-Williams, q^0.5 at the inlet, v = q/A",
		Source:    "handbook.csv HW1a (verified); supply at its residual reading, by construction",
		Tolerance: 1e-6})
	inlet := part(t, s, "inlet")
	c.Near(q, float64(inlet.Flow), "flow of the inlet")
	c.Near(before, float64(inlet.Pressure), "pressure before the inlet")
	c.Near(3e5, float64(part(t, s, "mains").Pressure), "pressure of the mains")
	pipe := part(t, s, "pipe")
	c.Near(q/(math.Pi/4*0.0204*0.0204), float64(*pipe.Velocity), "velocity in the pipe")
	c.Near(handbook(t, "HW1a")*weight, float64(*pipe.Lost), "pressure lost in the pipe")
}

// TestFillTimeByHand fills one tank at a constant flow, and one from another tank that empties: Torricelli's law, whose
// time for the upper level to fall from h0 to h1 is 2 A (√h0 - √h1)/(a √(2g)).
func TestFillTimeByHand(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "fill time of a tank (`ullage flows`)",
		Equation:  "dh/dt = q/A along the level, Runge-Kutta of the fourth order; the flow from a network solve at each level",
		Source:    "closed forms: A dh/q at constant flow; Torricelli 1643 from an emptying tank, worked in the test",
		Tolerance: 1e-6})
	water, q, _ := fed(t, "40 mm")
	f := of(t, read(t, water, []string{"valve"}, []string{"low", "high"}, fill)).Tanks[0].Fill
	c.Near(0.5*0.5/q, float64(*f.Lasts), "fill time at a constant flow")
	c.Near(0.5*0.5, float64(f.Volume), "water of a fill")

	byGravity := of(t, read(t, gravityFed(800), []string{"valve"}, []string{"low", "high"}, fill))
	area, from := math.Pi/4*0.8*0.8, 1.2
	to := from - 0.7*0.5/area
	perFlow := 1/(2*gravity*math.Pow(math.Pi/4*0.012*0.012, 2)) + valveHead(1) // m for (m³/s)²
	c.Near(2*area*math.Sqrt(perFlow)*(math.Sqrt(from)-math.Sqrt(to)), float64(*byGravity.Tanks[1].Fill.Lasts),
		"fill time by gravity from an emptying tank")
}

// TestFillThatNeverEnds: the tank that feeds holds 85 L, and 350 L are wanted.
func TestFillThatNeverEnds(t *testing.T) {
	r := of(t, read(t, gravityFed(300), []string{"valve"}, []string{"low", "high"}, fill))
	f := r.Tanks[1].Fill
	assert.Nil(t, f.Lasts, "it is full with the water of a tank that does not hold so much")
	require.NotNil(t, f.Stops)
	held := math.Pi / 4 * 0.3 * 0.3 * 1.2
	assert.InDelta(t, 0.1+held/0.5, float64(*f.Stops), 0.001, "where the level comes to rest")
	require.NotEmpty(t, r.Warnings)
	assert.Contains(t, r.Warnings[0].Text(quantity.Metric), "lower never fills: the level comes to rest at 27")
}

// Coefficients of a standpipe as handbooks have them: a weir of its circumference, then an orifice of its bore.
func standpipe(bore, open, head float64) float64 {
	weir := 2.0 / 3 * 0.62 * math.Pi * bore * math.Sqrt(2*gravity) * math.Pow(head, 1.5)
	orifice := 0.60 * math.Pi / 4 * bore * bore * math.Sqrt(2*gravity*head)
	return open * math.Min(weir, orifice)
}

func TestOverflowByHand(t *testing.T) {
	rest := accuracy.New(t, accuracy.Row{Computation: "level at rest over an overflow (`ullage flows`)",
		Equation:  "inflow = min(2/3 0.62 π d √(2g) h^1.5, 0.60 π/4 d² √(2gh)), times the open share",
		Source:    "weir of Poleni 1717 and orifice, inverted in the test (coefficients from memory)",
		Tolerance: 1e-6})
	water, q, _ := fed(t, "40 mm")
	tank := of(t, read(t, water, []string{"valve"}, []string{"low", "high"}, fill)).Tanks[0]
	// the inflow at the static pressure is that of the fill: the file gives no tolerance
	require.Len(t, tank.Overflow, 3)
	for i, open := range []float64{1, 0.5} {
		weir := math.Pow(q/open/(2.0/3*0.62*math.Pi*0.040*math.Sqrt(2*gravity)), 2.0/3)
		orifice := math.Pow(q/open/(0.60*math.Pi/4*0.040*0.040), 2) / (2 * gravity)
		rest.Near(0.9+math.Max(weir, orifice), float64(*tank.Overflow[i].Level),
			"level with %.0f %% of the overflow open", 100*open)
		require.Nil(t, tank.Overflow[i].Overruns, "an overflow that carries the inflow lets it over the rim")
	}

	over := accuracy.New(t, accuracy.Row{Computation: "time from full to the rim (`ullage flows`)",
		Equation:  "dt = A dh/(q - overflow(h)), Runge-Kutta of the fourth order",
		Source:    "A dh/q while the overflow is blocked; midpoint sums of 100 000 steps in the test",
		Tolerance: 1e-5})
	over.Near(0.5*0.2/q, float64(*tank.Overflow[2].Overruns), "time to the rim with the overflow blocked")
	water, _, _ = fed(t, "15 mm")
	narrow := of(t, read(t, water, []string{"valve"}, []string{"low", "high"}, fill)).Tanks[0]
	for i, open := range []float64{1, 0.5} {
		seconds, steps := 0.5*0.1/q, 100000
		for k := range steps {
			head := 0.1 * (float64(k) + 0.5) / float64(steps)
			seconds += 0.5 * 0.1 / float64(steps) / (q - standpipe(0.015, open, head))
		}
		require.NotNil(t, narrow.Overflow[i].Overruns, "a standpipe of 15 mm carries 20 L/min")
		over.Near(seconds, float64(*narrow.Overflow[i].Overruns),
			"time to the rim with %.0f %% of a narrow overflow open", 100*open)
		over.Near(q-standpipe(0.015, open, 0.1), float64(narrow.Overflow[i].OverRim),
			"flow over the rim with %.0f %% open", 100*open)
	}
}
