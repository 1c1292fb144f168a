// Package surge computes what valves that shut do to the water before them: how fast a pressure wave runs in a pipe, the
// bounds of Joukowsky and Michaud, and the pressures in a network of pipes by the method of characteristics. It is no
// API: it serves fakes/site.
package surge

import "math"

// Properties of water at 20 °C. Bulk modulus 2.19 GPa; the vapour stands at 2.34 kPa, under an atmosphere of 101.325
// kPa (both from memory of steam tables). Density and viscosity are those of fakes/water, which this package may not
// import; a test of fakes/site holds them together.
const (
	Density = 998.2           // kg/m³
	Bulk    = 2.19e9          // Pa
	Vapour  = 2339 - 101325.0 // Pa above the atmosphere, the pressure at which the water parts
)

// Pipe is one length of pipe with its wall. All figures are positive.
type Pipe struct {
	Length, Bore float64 // m
	Wall         float64 // m, thickness
	Modulus      float64 // Pa, of elasticity of the wall
}

// Speed is that of a pressure wave in a pipe that is free to lengthen (restraint c = 1), m/s:
// a = √(K/ρ) / √(1 + K D/(E e)) (Korteweg 1878, Joukowsky 1898; Wylie and Streeter 1993, ch. 1).
func (p Pipe) Speed() float64 {
	return math.Sqrt(Bulk/Density) / math.Sqrt(1+Bulk/p.Modulus*p.Bore/p.Wall)
}

func (p Pipe) area() float64 { return math.Pi / 4 * p.Bore * p.Bore }

// Joukowsky is the rise of pressure when the water's velocity changes at once, Pa: Δp = ρ a Δv (Joukowsky 1898). Speed
// and change are in m/s.
func Joukowsky(speed, change float64) float64 { return Density * speed * change }

// Michaud is the rise of pressure when a valve stops the flow evenly in a time longer than ReturnTime, Pa:
// Δp = 2 ρ L v / T (Michaud 1878). Length in m, velocity in m/s, time in s.
func Michaud(length, velocity, seconds float64) float64 {
	return 2 * Density * length * velocity / seconds
}

// ReturnTime is how long a wave takes to the end of a pipe and back, s: 2 L / a.
func ReturnTime(length, speed float64) float64 { return 2 * length / speed }
