package soil_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/internal/soil"
)

// No soil of the site file, wet or dry, watered by drops or by the bucket, needs so many steps that a run would stall.
func TestNoSoilStalls(t *testing.T) {
	for _, texture := range textures {
		s := soil.Of(ground(texture))
		for _, base := range []soil.Base{soil.SeepageFace, soil.FreeDrainage} {
			for _, head := range []float64{-200, -0.3, 0} {
				for _, application := range []float64{5e-3 / 3600, 300e-3 / 3600} {
					for _, depth := range []float64{0.05, 1.5} {
						c := soil.NewBed(s, depth, depth)
						c.Base, c.Ponds = base, 5e-3
						c.SetHeads(func(float64) float64 { return head })
						steps := 0
						pass := func(seconds float64, d soil.Demand) {
							for ; seconds > 0 && steps < 1e5; steps++ {
								seconds -= c.Step(seconds, d)
							}
						}
						for range 2 {
							pass(1800, soil.Demand{Application: application})
							pass(3*day-1800, soil.Demand{Evaporation: 2e-3 / day, Transpiration: 6e-3 / day})
						}
						assert.Less(t, steps, 3000,
							"%s, %g m deep with base %d, at a head of %g m and %g mm/h: steps in six days", texture,
							depth, base, head, application*3600e3)
					}
				}
			}
		}
	}
}

// A thin bed with pores so fine that they stay full: when the rain has passed nothing leaves any more, and no head
// follows from the water it holds.
func TestAFullBedOfWhichNothingLeavesRests(t *testing.T) {
	c := bed(soil.VanGenuchten{Saturated: 0.02, AirEntry: 5, N: 4, Conductivity: 20.0 / 3600}, 0.02, 0.5,
		soil.SeepageFace)
	c.Ponds = 0.5
	stormyDay(c, 0.3/3600, 0, 10_000)
	assert.Less(t, c.Iterations, 10_000, "iterations of a day")
	assert.InDelta(t, 0.02, c.At(0.01), 1e-4, "the water content of a full bed")
}

// Water stands on a bed whose watering grows weaker little by little, as behind a filter that loads: what enters does not
// change with it, and the steps stay long.
func TestAPondedBedKeepsItsStepsAsItsWateringFades(t *testing.T) {
	for _, texture := range textures {
		c := bed(ground(texture), 0.3, 0.9, soil.SeepageFace)
		steps, application := 0, 2*ground(texture).Conductivity
		for seconds := 0.0; seconds < day; steps++ {
			application -= application * 1e-5
			seconds += c.Step(300, soil.Demand{Application: application})
		}
		assert.Less(t, steps, 1500, "%s: steps of a day", texture)
	}
}
