package weather_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"ullage/fakes/accuracy"
	"ullage/fakes/internal/weather"
)

const millimetre = 1e-3 / 86400 // a day, in m/s

func degrees(d, minutes float64) float64 { return (d + minutes/60) * math.Pi / 180 }

// The examples of FAO-56; each is known to the digits that the paper prints.
func TestExamplesOfFAO56(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "steps of the reference evapotranspiration",
		Equation: "FAO-56 eqs. 7 to 50",
		Source:   "Allen et al. 1998, examples 2 to 5, 8 to 11, 13 to 15 (verified in a public test); to the digits printed there, as a share of half a unit of the last one", Tolerance: 1, Unit: "half digits"})
	near := func(want, got, digit float64, what string) {
		check.Near(want/(digit/2), got/(digit/2), "%s in half digits", what)
	}
	near(81.8, weather.Pressure(1800), 0.1, "example 2: air pressure at 1800 m")
	near(0.054, weather.Psychrometric(weather.Pressure(1800)), 0.001, "example 2: psychrometric constant")
	near(2.39, (weather.Saturation(24.5)+weather.Saturation(15))/2, 0.01, "example 3: saturation vapour pressure")
	near(1.91, weather.VapourFromPsychrometer(25.6, 19.5, 87.9), 0.01, "example 4: vapour pressure")
	near(1.70, weather.VapourFromHumidity(18, 25, 0.82, 0.54), 0.01, "example 5: vapour pressure")
	south := degrees(-20, 0)
	near(0.985, weather.Distance(246), 0.001, "example 8: distance")
	near(0.120, weather.Declination(246), 0.001, "example 8: declination")
	near(1.527, weather.SunsetAngle(south, 246), 0.001, "example 8: sunset")
	near(32.2, weather.Extraterrestrial(south, 246), 0.1, "example 8: radiation")
	near(11.7, weather.Daylight(south, 246), 0.1, "example 9: daylight")
	near(14.45, weather.RadiationFromSunshine(25.1, 7.1, 10.9), 0.01, "example 10: radiation")
	near(3.5, weather.NetLongWave(25.1, 19.1, 2.1, 14.5, 18.8), 0.1, "example 11: long-wave radiation")
	near(0.33, weather.SoilHeatOfMonth(18.8, 14.1)/2, 0.01, "example 13: soil heat") // over two months, eq. 43
	near(2.4, weather.WindAtTwoMetres(3.2, 10), 0.1, "example 14: wind")
	near(22.3, weather.RadiationFromTemperatures(40.6, 26.6, 14.8), 0.1, "example 15: radiation")
}

// bangkok is example 17, uccle example 18.
func bangkok() weather.Day {
	d := weather.Day{OfYear: 105, Latitude: degrees(13, 44), Altitude: 2, Warmest: 34.8, Coldest: 25.6, Vapour: 2.85,
		Wind: 2, WindHeight: 2,
		SoilHeat: weather.SoilHeatOfMonth(30.2, 29.2)}
	d.Radiation = weather.RadiationFromSunshine(weather.Extraterrestrial(d.Latitude, d.OfYear), 8.5,
		weather.Daylight(d.Latitude, d.OfYear))
	return d
}

func uccle() weather.Day {
	d := weather.Day{OfYear: 187, Latitude: degrees(50, 48), Altitude: 100, Warmest: 21.5, Coldest: 12.3,
		Wind: 10 / 3.6, WindHeight: 10}
	d.Vapour = weather.VapourFromHumidity(12.3, 21.5, 0.84, 0.63)
	d.Radiation = weather.RadiationFromSunshine(weather.Extraterrestrial(d.Latitude, d.OfYear), 9.25,
		weather.Daylight(d.Latitude, d.OfYear))
	return d
}

func TestReferenceEvapotranspiration(t *testing.T) {
	check := accuracy.New(t, accuracy.Row{Computation: "reference evapotranspiration of a day",
		Equation:  "Penman-Monteith, FAO-56 eq. 6",
		Source:    "Allen et al. 1998, examples 17 and 18 (verified in public code; full precision recomputed)",
		Tolerance: 0.02, Unit: "mm/day"})
	check.Near(5.716, bangkok().Evapotranspiration()/millimetre, "example 17, Bangkok in April")
	check.Near(3.8803, uccle().Evapotranspiration()/millimetre, "example 18, Uccle on 6 July")
	assert.InDelta(t, 14.33, bangkok().NetRadiation(), 0.01, "net radiation of example 17")
	assert.InDelta(t, 13.28, uccle().NetRadiation(), 0.01, "net radiation of example 18")
	assert.InDelta(t, 41.09, weather.Extraterrestrial(uccle().Latitude, 187), 0.01,
		"radiation above the air of example 18")
	assert.InDelta(t, 16.1, weather.Daylight(uccle().Latitude, 187), 0.05, "daylight of example 18")
}

func TestWithoutSunriseOrSunset(t *testing.T) {
	assert.Zero(t, weather.Daylight(degrees(75, 0), 355), "the Sun does not rise beyond the polar circle in December")
	assert.InDelta(t, 24, weather.Daylight(degrees(75, 0), 172), 1e-6, "nor does it set in June")
	assert.Equal(t, 1.0, weather.Course(0, 3, 4), "without daylight there is no course of the day")
}

// Anywhere on Earth on any day, even where the site file gives more sunshine than the day has: no radiation below
// zero or above that outside the air, and no more than the sharpest noon.
func TestAnyPlaceAndDay(t *testing.T) {
	for latitude := -90; latitude <= 90; latitude += 2 {
		for ofYear := 1; ofYear <= 366; ofYear += 5 {
			at := degrees(float64(latitude), 0)
			above, daylight := weather.Extraterrestrial(at, ofYear), weather.Daylight(at, ofYear)
			for _, sunshine := range []float64{0, 8, 24} {
				got := weather.RadiationFromSunshine(above, sunshine, daylight)
				assert.True(t, got >= 0 && got <= 0.75*above,
					"latitude %d, day %d, %g h of sunshine: %g MJ/m² of %g above the air", latitude, ofYear, sunshine,
					got, above)
				et := weather.Day{OfYear: ofYear, Latitude: at, Warmest: -5, Coldest: -15, Vapour: 0.1, Wind: 5,
					WindHeight: 10, Radiation: got}.Evapotranspiration()
				assert.True(t, et >= 0 && et < 3*millimetre,
					"latitude %d, day %d: %g m/s of evapotranspiration in frost", latitude, ofYear, et)
			}
			if daylight == 0 {
				assert.Equal(t, 1.0, weather.Course(daylight, 11, 12), "latitude %d, day %d: a noon in the polar night",
					latitude, ofYear)
			}
		}
	}
}

func TestCourseKeepsTheMean(t *testing.T) {
	for _, daylight := range []float64{1, 8, 12, 16.1, 24} {
		sum := 0.0
		for hour := range 24 {
			sum += weather.Course(daylight, float64(hour), float64(hour+1)) / 24
		}
		assert.InDelta(t, 1, sum, 1e-12, "the day's total is not kept with %g hours of daylight", daylight)
	}
	assert.Zero(t, weather.Course(12, 0, 1), "plants transpire at night")
	assert.InDelta(t, math.Pi, weather.Course(12, 12, 12.001), 1e-4,
		"at noon of a day of 12 hours it is pi times the mean")
}
