package soil_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/internal/soil"
)

// A thin bed of sand that drains freely gives the air no more than it asks for, and takes nothing from it, however dry
// it is.
func TestDrySoilTakesNothingFromTheAir(t *testing.T) {
	for _, depth := range []float64{0.03, 0.2, 2} {
		c := soil.NewBed(soil.Of(soils["sand"]), depth, depth)
		c.Base, c.Ponds = soil.FreeDrainage, 5e-3
		c.SetHeads(func(float64) float64 { return 0 })
		for hour := range 30 * 24 {
			sun := math.Max(0, math.Sin(math.Pi*float64(hour%24-6)/12))
			d := soil.Demand{Evaporation: 18e-3 / day * sun, Transpiration: 18e-3 / day * sun}
			if hour < 5*24 && hour%6 == 0 {
				d.Application = 1.0 / 3600
			}
			before := c.Evaporated
			c.Advance(3600, d)
			gave := (c.Evaporated - before) / 3600
			if !assert.True(t, gave >= -1e-12 && gave <= d.Evaporation+d.Transpiration+1e-12,
				"%g m of sand gives %g m/s in hour %d, of %g asked for", depth, gave, hour,
				d.Evaporation+d.Transpiration) {
				break
			}
		}
	}
}
