package soil_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ullage/fakes/internal/soil"
)

// soils are a few that could hardly differ more.
var soils = map[string]soil.VanGenuchten{
	"sand":       {Residual: 0.045, Saturated: 0.43, AirEntry: cm / 0.145, N: 2.68, Conductivity: 712.8 * cm / day},
	"sandy loam": sandyLoam,
	"clay":       {Residual: 0.068, Saturated: 0.38, AirEntry: cm / 0.008, N: 1.09, Conductivity: 4.8 * cm / day},
	"peat":       {Residual: 0.10, Saturated: 0.88, AirEntry: 0.2, N: 1.6, Conductivity: 7.2 / day},
}

// trough is 200 mm of a soil at rest with a mean water content, over a seepage face.
func trough(name string, mean float64) *soil.Column {
	c := soil.NewBed(soil.Of(soils[name]), 0.2, 0.2)
	c.Ponds = 5e-3
	c.Settle(mean, 0.2)
	return c
}

func TestSettledColumnRests(t *testing.T) {
	for name, mean := range map[string]float64{"sand": 0.2, "sandy loam": 0.26, "clay": 0.35, "peat": 0.6} {
		c := trough(name, mean)
		assert.InDelta(t, mean, c.Mean(0.2), 1e-9, "%s begins with another mean water content", name)
		before := c.At(0.1)
		c.Advance(3*day, soil.Demand{})
		assert.InDelta(t, before, c.At(0.1), 1e-6, "%s at rest does not rest", name)
		assert.Zero(t, c.Drained, "%s drains although its base is not saturated", name)
	}
}

// Over a seepage face a full trough drains until the water at its base is no longer under pressure: the suction is then
// the height over the base.
func TestFullTroughDrainsToItsCapacity(t *testing.T) {
	c := trough("sand", 0.4299)
	c.SetHeads(func(depth float64) float64 { return depth })
	c.Advance(60*day, soil.Demand{})
	for _, depth := range []float64{0.02, 0.1, 0.18} {
		assert.InDelta(t, depth-0.2, c.HeadAt(depth), 2e-3, "the pressure head at %g m", depth)
	}
	assert.InDelta(t, (0.43-c.Mean(0.2))*0.2, c.Drained, 1e-9, "what has left has not drained")
}

// Through saturated soil under a film of water as much passes as Darcy says.
func TestPondedSoilTakesWhatDarcySays(t *testing.T) {
	c := trough("sandy loam", 0.3)
	c.Ponds = 0.02
	heavy := soil.Demand{Application: 1e-4}
	c.Advance(2*day, heavy)
	before, ran := c.Drained, c.RunOff
	c.Advance(3600, heavy)
	want := sandyLoam.Conductivity * (0.2 + 0.02) / 0.2
	assert.InDelta(t, want, (c.Drained-before)/3600, 1e-3*want,
		"seepage through 200 mm of soil under 20 mm of water, m/s")
	assert.InDelta(t, 1e-4-want, (c.RunOff-ran)/3600, 1e-3*want, "the rest runs off")
	assert.InDelta(t, 0.02, c.Pond, 1e-9, "the water stands as deep as it can")
}

func TestWhatTheSoilTakesNeverPonds(t *testing.T) {
	c := trough("sandy loam", 0.15)
	c.Advance(1800, soil.Demand{Application: sandyLoam.Conductivity * 0.9})
	assert.Zero(t, c.RunOff, "soil that takes all that falls lets water run off")
	assert.InDelta(t, 0, c.Pond, 1e-15, "water stands on soil that takes all that falls")
}

// Dry soil gives less and less; it never gives what it does not hold.
func TestEvaporationAndUptakeFallOff(t *testing.T) {
	for name := range soils {
		c := trough(name, soils[name].Residual+0.8*(soils[name].Saturated-soils[name].Residual))
		asks := soil.Demand{Evaporation: 3e-3 / day, Transpiration: 5e-3 / day}
		c.Advance(day, asks)
		first := c.Evaporated
		c.Advance(300*day, asks)
		late := c.Evaporated
		c.Advance(day, asks)
		assert.LessOrEqual(t, first, 8e-3*(1+1e-9), "%s gives more than is asked for", name)
		assert.Greater(t, first, 1e-3, "%s gives next to nothing", name)
		assert.Less(t, c.Evaporated-late, 0.05*first, "%s gives without end", name)
		assert.Greater(t, c.Mean(0.2), soils[name].Residual-1e-4,
			"%s holds less than nothing by more than an iteration may leave", name)
	}
}

// With the uptake of Feddes: all at 5 m of suction, nothing at 80 m, and half of it half way.
func TestStressOfDrySoil(t *testing.T) {
	for suction, share := range map[float64]float64{1: 1, 5: 1, 42.5: 0.5, 80: 0, 150: 0} {
		c := trough("clay", 0.35)
		c.SetHeads(func(float64) float64 { return -suction })
		c.Advance(1, soil.Demand{Transpiration: 1e-9})
		assert.InDelta(t, share, c.Evaporated/1e-9, 1e-3,
			"share of the transpiration that soil with a suction of %g m gives", suction)
	}
}

// Whatever falls and is asked for, and however the time is cut, what is held is what has come less what has gone.
func TestBalanceCloses(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom([]string{"sand", "sandy loam", "clay", "peat"}).Draw(t, "soil")
		of := soils[name]
		c := trough(name, of.Residual+rapid.Float64Range(0.02, 0.98).Draw(t, "wetness")*(of.Saturated-of.Residual))
		c.Base = rapid.SampledFrom([]soil.Base{soil.SeepageFace, soil.FreeDrainage}).Draw(t, "base")
		before := c.Stored()
		for range rapid.IntRange(1, 6).Draw(t, "spells") {
			d := soil.Demand{Application: rapid.SampledFrom([]float64{0, 1e-7, 1e-5, 3e-4}).Draw(t, "application"),
				Evaporation:   rapid.SampledFrom([]float64{0, 1e-8, 1e-7}).Draw(t, "evaporation"),
				Transpiration: rapid.SampledFrom([]float64{0, 1e-8, 1e-7}).Draw(t, "transpiration")}
			c.Advance(rapid.Float64Range(1e-3, 7200).Draw(t, "seconds"), d)
		}
		gain := c.Applied - c.Evaporated - c.Drained - c.RunOff
		assert.InDelta(t, gain, c.Stored()-before, 1e-12*(1+c.Applied), "water has appeared or vanished")
		for _, depth := range []float64{0, 0.05, 0.1, 0.15, 0.2} {
			w := c.At(depth)
			assert.False(t, math.IsNaN(w), "no number at %g m", depth)
			assert.InDelta(t, (of.Saturated+of.Residual)/2, w, (of.Saturated-of.Residual)/2+2e-3,
				"the water content at %g m is outside the pores", depth)
		}
	})
}

// A wetting front comes late to deep soil, and the later the deeper.
func TestWaterComesLateToDeepSoil(t *testing.T) {
	arrives := func(depth float64) (after float64) {
		c := trough("sandy loam", 0.18)
		begins := c.At(depth)
		for ; c.At(depth) < begins+0.02; after += 60 {
			c.Advance(60, soil.Demand{Application: 20e-3 / 3600})
			if after > day {
				return math.Inf(1)
			}
		}
		return after
	}
	shallow, middle, deep := arrives(0.03), arrives(0.1), arrives(0.17)
	assert.Greater(t, middle, 2*shallow, "at 100 mm as soon as at 30 mm")
	assert.Greater(t, deep, 1.4*middle, "at 170 mm as soon as at 100 mm")
	assert.Less(t, deep, day, "the water never comes")
}

func TestStepsAllocateNothing(t *testing.T) {
	c := trough("sandy loam", 0.2)
	twin := c.Twin()
	assert.Zero(t, testing.AllocsPerRun(100, func() {
		twin.Copy(c)
		twin.Advance(60, soil.Demand{Application: 1e-5})
	}))
}
