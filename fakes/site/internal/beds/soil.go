package beds

import (
	"ullage/fakes/internal/soil"
	"ullage/harness/sitefile"
)

// soilOf is the soil that fills a bed.
func soilOf(spec sitefile.Bed) *soil.Soil {
	g := spec.Ground()
	return soil.Of(soil.VanGenuchten{Residual: g.Residual.SI, Saturated: g.Saturation.SI, AirEntry: g.AirEntry.SI,
		N: g.N, Conductivity: g.Conductivity.SI})
}

// columnOf is the soil of a bed as it stands at the beginning of a run.
func columnOf(spec sitefile.Bed) *soil.Column {
	c := soil.NewBed(soilOf(spec), spec.Depth.SI, spec.Roots.SI)
	if spec.Base == sitefile.FreeDrainage {
		c.Base = soil.FreeDrainage
	}
	c.Ponds = spec.Ponds.SI
	c.Settle(spec.Starts.SI, spec.Roots.SI)
	return c
}
