package soil_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/accuracy"
	"ullage/fakes/soil"
)

// A thin bed of sand that drains freely gives the air no more than it asks for, and takes nothing from it, however dry it is.
func TestDrySoilTakesNothingFromTheAir(t *testing.T) {
	for _, depth := range []float64{0.03, 0.2, 2} {
		c := soil.NewColumn(soil.Of(soils["sand"]), 40, depth, depth)
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
			if !assert.True(t, gave >= -1e-12 && gave <= d.Evaporation+d.Transpiration+1e-12, "%g m of sand gives %g m/s in hour %d, of %g asked for", depth, gave, hour, d.Evaporation+d.Transpiration) {
				break
			}
		}
	}
}

// Under water, coarse soil fills behind a front that is nearly sharp: t = dtheta/K (L - psi ln(1 + L/psi)), with psi the
// integral of the relative conductivity over the suction (Neuman 1976; from memory). Richards is somewhat later, as the soil behind
// its front is not quite full.
func TestFrontOfGreenAndAmpt(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "arrival of water at a probe 0.5 m deep", Equation: "Richards under a film of water; cells of 25 mm; sand, loamy sand, sandy loam from 3.365 m of suction",
		Source: "Green and Ampt 1911, by hand, with the suction at the front after Neuman 1976 (from memory); a sharp front, which Richards has not", Tolerance: 0.15})
	const deep, begins = 0.5, 3.365 // m
	for _, v := range []soil.VanGenuchten{soils["sand"], {Residual: 0.057, Saturated: 0.41, AirEntry: cm / 0.124, N: 2.28, Conductivity: 350.2 * cm / day}, sandyLoam} {
		s := soil.Of(v)
		psi := 0.0
		for suction := 1e-5; suction < begins; suction *= 1.01 {
			psi += 0.01 * suction * (v.ConductivityAt(suction) + v.ConductivityAt(1.01*suction)) / 2 / v.Conductivity
		}
		lacks := v.Saturated - s.WaterContent(-begins)
		want := lacks / v.Conductivity * (deep - psi*math.Log(1+deep/psi))
		c := soil.NewColumn(s, 40, 1, 1)
		c.Base, c.HoldsHead = soil.FreeDrainage, true
		c.SetHeads(func(float64) float64 { return -begins })
		got := 0.0
		for c.At(deep) < v.Saturated-lacks/2 && got < 3*want {
			c.Advance(want/1000, soil.Demand{})
			got += want / 1000
		}
		check.Near(want, got, "seconds until half of what is lacking has come, n = %g", v.N)
	}
}
