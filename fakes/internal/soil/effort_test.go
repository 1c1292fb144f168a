package soil_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ullage/fakes/internal/soil"
	"ullage/harness/sitefile"
)

// textures are those of the site file.
var textures = []string{"sand", "loamy sand", "sandy loam", "loam", "silt", "silt loam", "sandy clay loam", "clay loam",
	"silty clay loam",
	"sandy clay", "silty clay", "clay", "peat", "coir"}

// ground is the soil of a texture of the site file.
func ground(texture string) soil.VanGenuchten {
	g := sitefile.Bed{Texture: texture}.Ground()
	return soil.VanGenuchten{Residual: g.Residual.SI, Saturated: g.Saturation.SI, AirEntry: g.AirEntry.SI, N: g.N,
		Conductivity: g.Conductivity.SI}
}

// bed is a bed of a soil at rest, filled to a share of what dry air takes out of it.
func bed(v soil.VanGenuchten, depth, filled float64, base soil.Base) *soil.Column {
	s := soil.Of(v)
	c := soil.NewBed(s, depth, depth)
	c.Base, c.Ponds = base, 5e-3
	c.Settle(s.Driest()+1e-4+filled*(v.Saturated-s.Driest()-2e-4), depth)
	return c
}

// stormyDay is a day with an hour of rain every six, at a rate in m/s, and with a mean evapotranspiration by day, four
// fifths of it by the plants. It ends early after so many iterations.
func stormyDay(c *soil.Column, rain, dries float64, most int) {
	end := c.Iterations + most
	for hour := range 24 {
		d := soil.Demand{}
		if hour%6 == 0 {
			d.Application = rain
		}
		if hour >= 6 && hour < 18 {
			d.Transpiration, d.Evaporation = 0.8*2*dries, 0.2*2*dries
		}
		for left := 3600.0; left > 0 && c.Iterations < end; {
			left -= c.Step(left, d)
		}
	}
}

// An iteration over the cells of a bed takes about two microseconds: what is bounded here is the time that a bed takes, on whatever
// machine.
func TestNoTextureTakesLong(t *testing.T) {
	const most = 5000
	for _, texture := range textures {
		for _, depth := range []float64{0.03, 0.2, 2} {
			for _, filled := range []float64{0.25, 0.9} {
				for _, base := range []soil.Base{soil.SeepageFace, soil.FreeDrainage} {
					for _, dries := range []float64{0, 6e-3 / day} {
						c := bed(ground(texture), depth, filled, base)
						for n := range 3 {
							before := c.Iterations
							stormyDay(c, 50e-3/3600, dries, 10*most)
							assert.Less(
								t,
								c.Iterations-before,
								most,
								"%g m of %s, %g filled, over base %d, drying by %g mm/day: iterations on day %d under storms of 50 mm/h",
								depth,
								texture,
								filled,
								base,
								dries*day*1e3,
								n+1,
							)
						}
					}
				}
			}
		}
	}
}

// Soils by their own figures, anywhere in the ranges of the site file, keep their water and end their day.
func TestOwnSoilsEndTheirDay(t *testing.T) {
	factor := func(t *rapid.T, low, high float64, name string) float64 {
		return low * math.Pow(high/low, rapid.Float64Range(0, 1).Draw(t, name))
	}
	rapid.Check(t, func(t *rapid.T) {
		v := soil.VanGenuchten{Residual: rapid.Float64Range(0, 0.6).Draw(t, "residual"), N: 1 + factor(t, 0.09, 9, "n"),
			Conductivity: factor(t, 1e-5, 20, "conductivity") / 3600}
		v.Saturated = v.Residual + rapid.Float64Range(0.02, 0.99-v.Residual).Draw(t, "pores")
		least, most := 5e-3, 10.0
		if v.N < 1.2 {
			least = 20e-3
		}
		if v.N > 3 {
			most = 1
		}
		v.AirEntry = factor(t, least, most, "air entry")
		depth := factor(t, 0.02, 5, "depth")
		c := bed(v, depth, rapid.Float64Range(0, 1).Draw(t, "filled"),
			rapid.SampledFrom([]soil.Base{soil.SeepageFace, soil.FreeDrainage}).Draw(t, "base"))
		c.Ponds = rapid.SampledFrom([]float64{0, 5e-3, 0.5}).Draw(t, "ponds")
		before := c.Stored()
		const long = 100_000
		stormyDay(c, factor(t, 1e-3, 0.3, "rain")/3600, rapid.Float64Range(0, 20e-3).Draw(t, "dries")/day, long)
		assert.Less(t, c.Iterations, long, "iterations of a day of %+v", v)
		gain := c.Applied - c.Evaporated - c.Drained - c.RunOff
		assert.InDelta(t, gain, c.Stored()-before, 1e-6*(c.Applied+1e-3),
			"metres of water have appeared or vanished in %+v", v)
		for part := range 41 {
			w := c.At(depth * float64(part) / 40)
			assert.True(t, w >= soil.Of(v).Driest()-1e-3 && w <= v.Saturated+1e-3,
				"the water content %g is outside of the pores of %+v", w, v)
		}
	})
}

// BenchmarkTextures is the first day under storms of 50 mm/h of each texture, thin, usual and deep, wet and dry.
func BenchmarkTextures(b *testing.B) {
	for _, texture := range textures {
		for _, depth := range []float64{0.03, 0.2, 2} {
			b.Run(fmt.Sprintf("%s/%gm", texture, depth), func(b *testing.B) {
				dry, wet := bed(ground(texture), depth, 0.25, soil.SeepageFace), bed(ground(texture), depth, 0.9,
					soil.SeepageFace)
				c := dry.Twin()
				b.ReportAllocs()
				total := 0
				for b.Loop() {
					for _, start := range []*soil.Column{dry, wet} {
						c.Copy(start)
						stormyDay(c, 50e-3/3600, 6e-3/day, math.MaxInt/2)
						total += c.Iterations
					}
				}
				b.ReportMetric(float64(total)/float64(2*b.N), "iterations/day")
				b.ReportMetric(float64(b.Elapsed().Microseconds())/1e3/float64(2*b.N), "ms/day")
			})
		}
	}
}
