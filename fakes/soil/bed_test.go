package soil_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ullage/fakes/soil"
)

// loam is a bed of 10 m² and 0.5 m: wilting point 50 mm, field capacity 150 mm, saturation 230 mm.
func loam(water float64) soil.Bed {
	return soil.Bed{Area: 10, Depth: 0.5, Saturation: 0.46, Capacity: 0.30, Wilting: 0.10, Depletion: 0.5,
		Evaporates: 6e-3 / 86400, Drains: 5 * 3600, Water: water}
}

const (
	wilting, ready, capacity, saturation = 0.05, 0.10, 0.15, 0.23 // m, of loam
	day                                  = 86400.0
)

func TestRegimesFollowTheirClosedForms(t *testing.T) {
	evaporates := 6e-3 / day
	stress := evaporates / (ready - wilting) // 1/s
	rain := 20e-3 / day                      // m/s
	// with rain: the surplus over field capacity at which drainage takes up what is left of the rain
	surplus := (rain - evaporates) * 5 * 3600
	for name, c := range map[string]struct {
		start, seconds, rain, want float64
	}{
		"takes water without stress":             {0.14, 3 * day, 0, 0.14 - 3*6e-3},
		"gains with rain":                        {0.11, day, rain, 0.11 + 14e-3},
		"stressed plants take less and less":     {0.09, 10 * day, 0, wilting + 0.04*math.Exp(-stress*10*day)},
		"nothing leaves below the wilting point": {0.03, 10 * day, 0, 0.03},
		"rain wets dust":                         {0.03, day, 5e-3 / day, 0.035},
		"drains to where rain and losses meet":   {capacity, 2 * day, rain, capacity + surplus*(1-math.Exp(-2*day/(5*3600)))},
		"saturated soil takes no more":           {saturation, day, 1, saturation},
	} {
		t.Run(name, func(t *testing.T) {
			b := loam(c.start)
			b.Advance(c.seconds, c.rain*b.Area)
			assert.InDelta(t, c.want, b.Water, 1e-12, "the bed holds the wrong depth of water after %g s", c.seconds)
		})
	}
}

// The stress coefficient of FAO-56, eq. 84: with 72 mm of available water, 40 mm used and p = 0.4, Ks = 32/43.2 = 0.7407
// (worked in REFERENCES.md of the reference data, section FAO-56).
func TestStressFactorOfFAO56(t *testing.T) {
	b := soil.Bed{Area: 1, Depth: 0.8, Saturation: 0.4, Capacity: 0.15, Wilting: 0.06, Depletion: 0.4,
		Evaporates: 5e-3 / day, Drains: 3600, Water: 0.8*0.15 - 0.040}
	b.Advance(1, 0)
	assert.InDelta(t, 0.7407, b.Evaporated/(5e-3/day), 5e-5, "stressed plants take up the wrong share of the evapotranspiration")
}

func TestDrainageHasItsTimeConstant(t *testing.T) {
	b := loam(0.2)
	b.Evaporates = 0
	b.Advance(b.Drains, 0)
	assert.InDelta(t, 0.05/math.E, b.Water-capacity, 1e-12, "after one time constant 1/e of the surplus must be left")
	assert.InDelta(t, 0.05*(1-1/math.E)*b.Area, b.Drained, 1e-12, "the surplus must have drained below the roots")
	assert.Zero(t, b.RunOff, "nothing runs off a bed that is not saturated")
}

func TestSaturatedBedRunsOff(t *testing.T) {
	b := loam(saturation)
	flow := 1e-3 // m³/s
	b.Advance(1000, flow)
	drained := (saturation - capacity) / b.Drains * 1000 * b.Area
	assert.InDelta(t, drained, b.Drained, 1e-12, "a saturated bed drains at its greatest rate")
	assert.InDelta(t, flow*1000-drained-b.Evaporates*1000*b.Area, b.RunOff, 1e-12, "what the bed cannot take must run off")
	assert.Greater(t, b.Straight(flow, 1e-5), 1e6, "the water content of a flooded bed stands still: it runs straight for ever")
}

// What falls exactly as fast as it goes leaves a bed at the limit between two regimes; time must pass there all the same.
func TestRestsOnALimit(t *testing.T) {
	for _, water := range []float64{wilting, ready, capacity, saturation} {
		for _, rain := range []float64{0, 6e-3 / day, 6e-3/day + (saturation-capacity)/(5*3600)} {
			b := loam(water)
			b.Advance(day, rain*b.Area)
			assert.InDelta(t, rain*day*b.Area, b.Applied, 1e-9, "a day has not passed at %g m with rain of %g m/s", water, rain)
			assert.False(t, math.IsInf(b.Water, 0) || math.IsNaN(b.Water), "the bed holds %g m of water", b.Water)
		}
	}
}

// The limit below which plants hold back is where rounding could send the water content to and fro for ever.
func TestRestsWherePlantsBeginToHoldBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := loam(0)
		b.Depletion = rapid.Float64Range(0.1, 0.9).Draw(t, "p")
		b.Wilting = rapid.Float64Range(0, 0.2).Draw(t, "wilting point")
		b.Evaporates = rapid.Float64Range(1e-9, 6e-7).Draw(t, "evapotranspiration")
		b.Water = b.Wilting*b.Depth + (1-b.Depletion)*(b.Capacity*b.Depth-b.Wilting*b.Depth)
		before := b.Water
		b.Advance(day, b.Evaporates*b.Area)
		assert.InDelta(t, before, b.Water, 1e-12, "as much falls as is taken up, and the bed dries or gets wet")
	})
}

// bed draws a bed in any state and how it is watered.
func bed(t *rapid.T) (b soil.Bed, flow, seconds float64) {
	b = loam(0)
	b.Depletion = rapid.Float64Range(0.1, 0.8).Draw(t, "p")
	b.Evaporates = rapid.SampledFrom([]float64{0, 1e-8, 6e-3 / day, 50e-3 / day}).Draw(t, "evapotranspiration")
	b.Water = rapid.OneOf(rapid.Float64Range(0, saturation), rapid.SampledFrom([]float64{wilting, ready, capacity, saturation})).Draw(t, "water")
	flow = rapid.SampledFrom([]float64{0, 1e-7, 6e-3 / day * 10, 1e-5, 5e-4}).Draw(t, "flow")
	return b, flow, rapid.Float64Range(1e-3, 3*day).Draw(t, "seconds")
}

func TestBalanceClosesAndStepsDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole, flow, seconds := bed(t)
		before := whole.Water
		split := whole
		whole.Advance(seconds, flow)
		n := rapid.IntRange(2, 40).Draw(t, "parts")
		for range n {
			split.Advance(seconds/float64(n), flow)
		}
		assert.InDelta(t, whole.Water, split.Water, 1e-12, "the water content depends on how the time was cut")
		assert.InDelta(t, whole.Drained, split.Drained, 1e-9, "drainage depends on how the time was cut")
		gain := whole.Applied - whole.Evaporated - whole.Drained - whole.RunOff
		assert.InDelta(t, (whole.Water-before)*whole.Area, gain, 1e-12*(1+whole.Applied), "water has appeared or vanished")
		for name, v := range map[string]float64{"evaporated": whole.Evaporated, "drained": whole.Drained, "run off": whole.RunOff} {
			assert.GreaterOrEqual(t, v, -1e-14, "the volume %s is negative by more than rounding", name)
		}
		assert.LessOrEqual(t, whole.Water, saturation+1e-15, "the bed holds more than its pores")
	})
}

func TestStraightBoundsTheError(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const tolerance = 1e-5
		b, flow, _ := bed(t)
		span := math.Min(b.Straight(flow, tolerance), 30*day)
		end := b
		end.Advance(span, flow)
		for share := 0.1; share < 1; share += 0.1 {
			at := b
			at.Advance(share*span, flow)
			line := b.Moisture() + (end.Moisture()-b.Moisture())*share
			assert.InDelta(t, line, at.Moisture(), tolerance*1.0001+2e-3*flow/b.Area/b.Depth,
				"the line that probe and trace follow misses the moisture at %g of %g s", share, span)
		}
	})
}
