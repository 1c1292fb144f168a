package soil_test

import (
	"testing"

	"ullage/fakes/internal/soil"
)

var sandyLoam = soil.VanGenuchten{Residual: 0.065, Saturated: 0.41, AirEntry: cm / 0.075, N: 1.89,
	Conductivity: 106.1 * cm / day}

// BenchmarkBedDay is a day of a bed that is watered for 6 min every other hour, at 42 mm/h: with the cells of a bed, and
// with equal ones.
func BenchmarkBedDay(b *testing.B) {
	for name, c := range map[string]*soil.Column{"bed": soil.NewBed(soil.Of(sandyLoam), 0.2, 0.2),
		"40 cells":  soil.NewColumn(soil.Of(sandyLoam), 40, 0.2, 0.2),
		"160 cells": soil.NewColumn(soil.Of(sandyLoam), 160, 0.2, 0.2)} {
		b.Run(name, func(b *testing.B) {
			start := c.Twin()
			start.Settle(0.22, 0.2)
			b.ReportAllocs()
			steps := 0
			for b.Loop() {
				c.Copy(start)
				for hour := range 24 {
					d := soil.Demand{Transpiration: 6e-3 / day}
					left := 3600.0
					if hour%2 == 0 {
						watered := d
						watered.Application = 42e-3 / 3600
						for to := 360.0; to > 0; steps++ {
							to -= c.Step(to, watered)
						}
						left -= 360
					}
					for ; left > 0; steps++ {
						left -= c.Step(left, d)
					}
				}
			}
			b.ReportMetric(float64(steps)/float64(b.N), "steps/op")
		})
	}
}
