// Package weather computes the evapotranspiration of a day from its weather: the equation of Penman and Monteith for a
// reference crop, as FAO Irrigation and Drainage Paper 56 sets it out (Allen, Pereira, Raes and Smith 1998). Numbers of
// equations are those of that paper, and so are the units within: MJ/m² a day, kPa, °C, mm a day. All functions are
// pure. It is no API: it serves fakes/site.
package weather

import (
	"math"

	"ullage/harness/numeric"
)

// Day is the weather of one day.
type Day struct {
	OfYear     int     // 1 to 366
	Latitude   float64 // rad, north positive
	Altitude   float64 // m above the sea
	Warmest    float64 // °C
	Coldest    float64 // °C
	Vapour     float64 // kPa, actual vapour pressure
	Wind       float64 // m/s
	WindHeight float64 // m above the ground at which the wind was measured
	Radiation  float64 // MJ/m² a day, solar, on the ground
	SoilHeat   float64 // MJ/m² a day into the ground; nearly nothing over a day (eq. 42)
}

const (
	solar        = 0.0820   // MJ/m² a minute, solar constant
	boltzmann    = 4.903e-9 // MJ/K⁴ m² a day
	albedo       = 0.23     // of the reference crop
	kelvin       = 273.16   // as the paper has it
	latent       = 2.45     // MJ/kg, to evaporate water
	daysInAYear  = 365.0
	secondsInDay = 86400.0
)

// Pressure is that of the air at an altitude in m, kPa (eq. 7).
func Pressure(altitude float64) float64 {
	return 101.3 * numeric.Pow((293-float64(0.0065*altitude))/293, 5.26)
}

// Psychrometric is the psychrometric constant at an air pressure in kPa, kPa/K (eq. 8).
func Psychrometric(pressure float64) float64 { return 0.665e-3 * pressure }

// Saturation is the vapour pressure of saturated air at a temperature in °C, kPa (eq. 11).
func Saturation(celsius float64) float64 {
	return 0.6108 * numeric.Exp(17.27*celsius/(celsius+237.3))
}

// SaturationSlope is the slope of Saturation, kPa/K (eq. 13).
func SaturationSlope(celsius float64) float64 {
	return 4098 * Saturation(celsius) / float64((celsius+237.3)*(celsius+237.3))
}

// VapourFromPsychrometer is the actual vapour pressure from a dry and a wet ventilated thermometer, °C, at an air
// pressure in kPa (eq. 15 with 0.000662 for the Asmann type).
func VapourFromPsychrometer(dry, wet, pressure float64) float64 {
	return Saturation(wet) - float64(0.000662*pressure*(dry-wet))
}

// VapourFromHumidity is the actual vapour pressure from the greatest and the least relative humidity (0 to 1) of a day,
// of which the first goes with the lower temperature (eq. 17).
func VapourFromHumidity(coldest, warmest, most, least float64) float64 {
	return (float64(Saturation(coldest)*most) + float64(Saturation(warmest)*least)) / 2
}

// VapourFromMeanHumidity is the actual vapour pressure from the mean relative humidity (0 to 1) of a day (eq. 19).
func VapourFromMeanHumidity(coldest, warmest, mean float64) float64 {
	return mean * (Saturation(coldest) + Saturation(warmest)) / 2
}

// season is the angle of a day in the year, rad.
func season(ofYear int) float64 { return 2 * math.Pi * float64(ofYear) / daysInAYear }

// Distance is the inverse relative distance from the Earth to the Sun (eq. 23).
func Distance(ofYear int) float64 { return 1 + float64(0.033*numeric.Cos(season(ofYear))) }

// Declination is that of the Sun, rad (eq. 24).
func Declination(ofYear int) float64 { return 0.409 * numeric.Sin(season(ofYear)-1.39) }

// SunsetAngle is the hour angle at which the Sun sets, rad (eq. 25); 0 where it does not rise, pi where it does not
// set.
func SunsetAngle(latitude float64, ofYear int) float64 {
	d := Declination(ofYear)
	cosine := -numeric.Sin(latitude) * numeric.Sin(d) / float64(numeric.Cos(latitude)*numeric.Cos(d))
	switch {
	case cosine >= 1:
		return 0
	case cosine <= -1:
		return math.Pi
	}
	low, high := 0.0, math.Pi
	for range 60 { // the angle with this cosine
		if middle := (low + high) / 2; numeric.Cos(middle) > cosine {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// Daylight is how long the Sun can shine on a day, hours (eq. 34).
func Daylight(latitude float64, ofYear int) float64 {
	return 24 / math.Pi * SunsetAngle(latitude, ofYear)
}

// Extraterrestrial is the radiation above the air, MJ/m² a day (eq. 21).
func Extraterrestrial(latitude float64, ofYear int) float64 {
	d, sunset := Declination(ofYear), SunsetAngle(latitude, ofYear)
	up := float64(sunset * float64(numeric.Sin(latitude)*numeric.Sin(d)))
	across := float64(numeric.Cos(latitude)*numeric.Cos(d)) * numeric.Sin(sunset)
	return 24 * 60 / math.Pi * solar * Distance(ofYear) * (up + across)
}

// RadiationFromSunshine is the solar radiation on the ground of a day with so many hours of sunshine (eq. 35); the Sun
// shines no longer than the day is.
func RadiationFromSunshine(extraterrestrial, sunshine, daylight float64) float64 {
	if daylight <= 0 {
		return float64(0.25 * extraterrestrial)
	}
	return (0.25 + float64(0.50*math.Min(1, sunshine/daylight))) * extraterrestrial
}

// RadiationFromTemperatures is the solar radiation on the ground estimated from the temperatures of a day inland (eq.
// 50, with 0.16).
func RadiationFromTemperatures(extraterrestrial, warmest, coldest float64) float64 {
	return 0.16 * math.Sqrt(math.Max(0, warmest-coldest)) * extraterrestrial
}

// ClearSky is the radiation on the ground under a clear sky (eq. 37).
func ClearSky(extraterrestrial, altitude float64) float64 {
	return (0.75 + float64(2e-5*altitude)) * extraterrestrial
}

// NetLongWave is what the ground loses by its own warmth, MJ/m² a day (eq. 39).
func NetLongWave(warmest, coldest, vapour, radiation, clearSky float64) float64 {
	fourth := func(celsius float64) float64 { t := celsius + kelvin; return float64(t*t) * float64(t*t) }
	cloud := 1.0
	if clearSky > 0 {
		cloud = math.Min(1, radiation/clearSky)
	}
	return boltzmann * (fourth(warmest) + fourth(coldest)) / 2 *
		(0.34 - float64(0.14*math.Sqrt(vapour))) * (float64(1.35*cloud) - 0.35)
}

// WindAtTwoMetres is the wind speed 2 m above the ground from that at another height in m (eq. 47).
func WindAtTwoMetres(wind, height float64) float64 {
	return wind * 4.87 / numeric.Log(float64(67.8*height)-5.42)
}

// SoilHeatOfMonth is the heat that goes into the ground in a month, MJ/m² a day, from its mean temperature and that of
// the month before, °C (eq. 44).
func SoilHeatOfMonth(month, before float64) float64 { return 0.14 * (month - before) }

// NetRadiation is what the reference crop takes up of the Sun's radiation less what it loses, MJ/m² a day (eqs. 38 to
// 40).
func (d Day) NetRadiation() float64 {
	clear := ClearSky(Extraterrestrial(d.Latitude, d.OfYear), d.Altitude)
	return float64((1-albedo)*d.Radiation) - NetLongWave(d.Warmest, d.Coldest, d.Vapour, d.Radiation, clear)
}

// Evapotranspiration is that of the reference crop, mean over the day, m/s; never negative (eq. 6).
func (d Day) Evapotranspiration() float64 {
	mean := (d.Warmest + d.Coldest) / 2
	lacks := (Saturation(d.Warmest)+Saturation(d.Coldest))/2 - d.Vapour
	slope, psychrometric := SaturationSlope(mean), Psychrometric(Pressure(d.Altitude))
	wind := WindAtTwoMetres(d.Wind, d.WindHeight)
	warmth := float64(0.408 * slope * (d.NetRadiation() - d.SoilHeat))
	air := float64(psychrometric * 900 / (mean + 273) * wind * lacks)
	millimetres := (warmth + air) / (slope + float64(psychrometric*(1+float64(0.34*wind))))
	return math.Max(0, millimetres) * 1e-3 / secondsInDay
}

// Course is the mean evapotranspiration between two times of day, in hours from midnight, as a multiple of the mean of
// the day: half a sine from sunrise to sunset around noon, nothing at night (common practice, no source). The multiples
// of all hours have a mean of 1.
func Course(daylight, from, to float64) float64 {
	if daylight <= 0 {
		return 1
	}
	done := func(hour float64) float64 { // share of the day's total until then
		angle := math.Pi * math.Max(0, math.Min(1, (hour-12)/daylight+0.5))
		return (1 - numeric.Cos(angle)) / 2
	}
	return (done(to) - done(from)) * 24 / (to - from)
}
