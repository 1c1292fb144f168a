package electric

import (
	"math"

	"ullage/harness/numeric"
)

// copper is the resistivity of annealed copper at 20 °C, Ω m, and coefficient its temperature coefficient, 1/K (IEC
// 60028, the International Annealed Copper Standard; from memory).
const (
	copper      = 1.7241e-8
	coefficient = 0.00393
)

// GaugeArea is the cross-section of a solid wire by its number in the American wire gauge, m². 0 is 1/0, -1 is 2/0, and
// so on. The diameter is 0.127 mm · 92^((36 - n)/39) (ASTM B258; from memory).
func GaugeArea(number int) float64 {
	diameter := 0.127e-3 * numeric.Pow(92, float64(36-number)/39)
	return math.Pi / 4 * diameter * diameter
}

// Warm is by how much more copper resists at a temperature in °C than at 20 °C.
func Warm(celsius float64) float64 { return 1 + float64(coefficient*(celsius-20)) }

// CableResistance is that of one copper conductor of a cross-section in m² and a length in m, at a temperature in °C;
// Ω. The way there and back is twice as long as the cable.
func CableResistance(area, length, celsius float64) float64 {
	return copper * Warm(celsius) * length / area
}
