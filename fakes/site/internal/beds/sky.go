package beds

import (
	"math"

	"ullage/fakes/internal/weather"
	"ullage/harness/sitefile"
)

// hoursOf is the evapotranspiration of each hour of the day, m/s.
func hoursOf(spec sitefile.Bed) (hours [24]float64) {
	mean, daylight := spec.Evapotranspiration.SI, 12.0
	if w := spec.Weather; w != nil {
		day := dayOf(*w)
		mean = day.Evapotranspiration() * w.CropCoefficient
		daylight = weather.Daylight(day.Latitude, day.OfYear)
	}
	for h := range hours {
		hours[h] = mean * weather.Course(daylight, float64(h), float64(h+1))
	}
	return hours
}

// dayOf is the weather of a site file with what it leaves out estimated as FAO-56 proposes.
func dayOf(w sitefile.Weather) weather.Day {
	d := weather.Day{OfYear: w.DayOfYear, Latitude: w.Latitude * math.Pi / 180, Altitude: w.Altitude.SI,
		Warmest: w.Warmest.SI, Coldest: w.Coldest.SI,
		Wind: w.Wind.SI, WindHeight: w.WindAt.SI, Radiation: w.Radiation}
	switch {
	case w.Humidity.IsSet():
		d.Vapour = weather.VapourFromMeanHumidity(d.Coldest, d.Warmest, w.Humidity.SI)
	default:
		d.Vapour = weather.Saturation(w.DewPoint.Or(w.Coldest.SI).SI)
	}
	above := weather.Extraterrestrial(d.Latitude, d.OfYear)
	switch {
	case w.Sunshine.IsSet():
		d.Radiation = weather.RadiationFromSunshine(above, w.Sunshine.SI/3600, weather.Daylight(d.Latitude, d.OfYear))
	case d.Radiation == 0:
		d.Radiation = weather.RadiationFromTemperatures(above, d.Warmest, d.Coldest)
	}
	return d
}
