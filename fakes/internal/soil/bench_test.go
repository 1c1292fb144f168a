package soil_test

import (
	"testing"

	"ullage/fakes/internal/soil"
)

var sandyLoam = soil.VanGenuchten{Residual: 0.065, Saturated: 0.41, AirEntry: cm / 0.075, N: 1.89,
	Conductivity: 106.1 * cm / day}

// BenchmarkBedDay is a day of a bed with 40 cells that is watered for 6 min every other hour, at 42 mm/h.
func BenchmarkBedDay(b *testing.B) {
	for name, cells := range map[string]int{"40 cells": 40, "80 cells": 80, "160 cells": 160} {
		b.Run(name, func(b *testing.B) {
			c := soil.NewColumn(soil.Of(sandyLoam), cells, 0.2, 0.2)
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
