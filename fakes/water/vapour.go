package water

import (
	"math"

	"ullage/harness/numeric"
)

// VapourPressure is that of water at a temperature in °C, in Pa (W. Wagner and A. Pruss, International equations for
// the saturation properties of ordinary water substance, 1993, equation for the vapour pressure, used by IAPWS).
func VapourPressure(celsius float64) float64 {
	const critical, pressure = 647.096, 22.064e6 // K, Pa
	kelvin := celsius + 273.15
	x := 1 - kelvin/critical
	root := math.Sqrt(x)
	cube := float64(float64(x*x) * x)
	sum := float64(-7.85951783*x) + float64(1.84408259*float64(x*root)) - float64(11.7866497*cube) +
		float64(22.6807411*float64(cube*root)) - float64(15.9618719*float64(cube*x)) +
		float64(1.80122502*float64(float64(cube*cube)*float64(x*root)))
	return pressure * numeric.Exp(sum*critical/kelvin)
}

// AirPressure is that of the atmosphere at an altitude in m above the sea, in Pa (ISO 2533, standard atmosphere, below
// 11 km).
func AirPressure(altitude float64) float64 {
	const sea, temperature, lapse = 101325, 288.15, 6.5e-3 // Pa, K, K/m
	const exponent = 5.25588                               // g M / (R lapse)
	return sea * numeric.Pow(1-lapse*altitude/temperature, exponent)
}
