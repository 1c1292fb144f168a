package water_test

import (
	"testing"

	"ullage/fakes/accuracy"
	"ullage/fakes/water"
)

func TestVapourPressure(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "vapour pressure of water, 0 to 60 °C",
		Equation:  "Wagner and Pruss 1993",
		Source:    "steam tables: 611.7, 1228, 2339, 4247, 7385, 12352, 19947 Pa at 0.01, 10 to 60 °C (from memory)",
		Tolerance: 3e-4})
	for celsius, pascal := range map[float64]float64{0.01: 611.7, 10: 1228, 20: 2339, 30: 4247, 40: 7385, 50: 12352,
		60: 19947} {
		c.Near(pascal, water.VapourPressure(celsius), "at %g °C", celsius)
	}
}

func TestAirPressure(t *testing.T) {
	c := accuracy.New(t, accuracy.Row{Computation: "pressure of the air, sea level to 5000 m",
		Equation:  "p = 101325 (1 − 6.5e-3 h/288.15)^5.25588",
		Source:    "table of ISO 2533: 101325, 95461, 89875, 79495, 70109, 54020 Pa at 0, 500, 1000, 2000, 3000, 5000 m (from memory)",
		Tolerance: 2e-4})
	for metres, pascal := range map[float64]float64{0: 101325, 500: 95461, 1000: 89875, 2000: 79495, 3000: 70109,
		5000: 54020} {
		c.Near(pascal, water.AirPressure(metres), "at %g m", metres)
	}
}
