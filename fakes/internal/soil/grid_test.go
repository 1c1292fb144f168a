package soil_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/accuracy"
	"ullage/fakes/internal/soil"
)

// storm is two hours of rain of 50 mm/h, or six of 10 mm/h, on soil from 3.365 m of suction: when the water content at
// three depths has risen by 2 % by volume, s, 0 where it has not, and what has run off, m.
func storm(c *soil.Column, depth, rain, hours float64) (fronts [3]float64, runOff float64) {
	c.Ponds = 5e-3
	c.SetHeads(func(float64) float64 { return -3.365 })
	places := [3]float64{0.15 * depth, 0.35 * depth, 0.6 * depth}
	var begins, last [3]float64
	for i, p := range places {
		begins[i] = c.At(p)
	}
	last = begins
	for now := 0.0; now < hours*3600; {
		took := c.Step(hours*3600-now, soil.Demand{Application: rain})
		for i, p := range places {
			w, goal := c.At(p), begins[i]+0.02
			if fronts[i] == 0 && w >= goal {
				fronts[i] = now + took*(goal-last[i])/(w-last[i])
			}
			last[i] = w
		}
		now += took
	}
	return fronts, c.RunOff
}

func TestFrontsOfABed(t *testing.T) {
	fronts := accuracy.New(t, accuracy.Row{Computation: "arrival of a storm's water at 15, 35 and 60 % of a bed's depth, 12 textures",
		Equation: "Richards with 52 cells, the uppermost 1/320 of the depth; beds of 0.03 to 2 m, 10 and 50 mm/h",
		Source:   "the same equations with 300 equal cells", Tolerance: 0.1})
	runOff := accuracy.New(t, accuracy.Row{Computation: "run-off of a storm from a bed, 12 textures",
		Equation: "as above", Source: "the same equations with 300 equal cells; above 1 mm", Tolerance: 0.03})
	for _, texture := range textures[:12] {
		s := soil.Of(ground(texture))
		for _, depth := range []float64{0.03, 0.2, 0.6, 2} {
			for _, rain := range []struct{ rate, hours float64 }{{10e-3 / 3600, 6}, {50e-3 / 3600, 2}} {
				want, wantRun := storm(soil.NewColumn(s, 300, depth, depth), depth, rain.rate, rain.hours)
				got, run := storm(soil.NewBed(s, depth, depth), depth, rain.rate, rain.hours)
				for i := range want {
					if want[i] > 60 {
						fronts.Near(want[i], got[i], "%g m of %s under %g mm/h, place %d: seconds", depth, texture,
							rain.rate*3600e3, i)
					}
				}
				if wantRun > 1e-3 {
					runOff.Near(wantRun, run, "%g m of %s under %g mm/h: metres", depth, texture, rain.rate*3600e3)
				}
			}
		}
	}
}

// What the cells hold is what has come, whatever their thickness, and places between their middles lie on straight lines.
func TestGradedCells(t *testing.T) {
	c := soil.NewBed(soil.Of(sandyLoam), 0.4, 0.3)
	c.SetHeads(func(depth float64) float64 { return depth - 1 })
	for _, depth := range []float64{0.01, 0.1, 0.25, 0.3} {
		assert.InDelta(t, depth-1, c.HeadAt(depth), 1e-12, "the head at %g m", depth)
	}
	assert.InDelta(t, c.Stored(), c.Mean(0.4)*0.4, 1e-15, "the mean over the whole depth is what is stored")
	assert.InDelta(t, c.At(0), c.At(0.4/640), 1e-15, "above the uppermost middle it is as there")
}
