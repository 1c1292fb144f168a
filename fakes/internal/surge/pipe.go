// Package surge computes what a valve that shuts does to the water before it: how fast a pressure wave runs in a pipe,
// the bounds of Joukowsky and Michaud, and the pressure at the valve by the method of characteristics. It is no API: it
// serves fakes/site.
//
// The way to a valve is one pipe of the same length, the same travelling time and the same inertia as the pipes that it
// stands for. Branches, the moving of a regulator or non-return valve during the surge, friction beyond the steady law
// and the creep of plastic, which all damp a wave, are left out: the peak comes out rather too high than too low.
package surge

import (
	"math"

	"ullage/harness/numeric"
)

// Properties of water at 20 °C. Bulk modulus 2.19 GPa; the vapour stands at 2.34 kPa, under an atmosphere of 101.325
// kPa (both from memory of steam tables). Density and viscosity are those of fakes/water, which this package may not
// import; a test of fakes/site holds them together.
const (
	Density   = 998.2           // kg/m³
	Bulk      = 2.19e9          // Pa
	Vapour    = 2339 - 101325.0 // Pa above the atmosphere, the pressure at which the water parts
	viscosity = 1.0034e-6       // m²/s
)

// Pipe is one length of pipe with its wall. All figures are positive, Roughness may be 0.
type Pipe struct {
	Length, Bore float64 // m
	Roughness    float64 // m
	Wall         float64 // m, thickness
	Modulus      float64 // Pa, of elasticity of the wall
}

// Speed is that of a pressure wave in a pipe that is free to lengthen (restraint c = 1), m/s:
// a = √(K/ρ) / √(1 + K D/(E e)) (Korteweg 1878, Joukowsky 1898; Wylie and Streeter 1993, ch. 1).
func (p Pipe) Speed() float64 {
	return math.Sqrt(Bulk/Density) / math.Sqrt(1+Bulk/p.Modulus*p.Bore/p.Wall)
}

func (p Pipe) area() float64 { return math.Pi / 4 * p.Bore * p.Bore }

// loss is the pressure that friction takes at a flow, Pa: Darcy and Weisbach, with the friction factor of Swamee and
// Jain (1976), below a Reynolds number of 2000 that of Hagen and Poiseuille.
func (p Pipe) loss(flow float64) float64 {
	v := flow / p.area()
	reynolds := v * p.Bore / viscosity
	if reynolds <= 0 {
		return 0
	}
	f := 64 / reynolds
	if reynolds > 2000 {
		log := numeric.Log10(p.Roughness/p.Bore/3.7 + 5.74/numeric.Pow(reynolds, 0.9))
		f = 0.25 / (log * log)
	}
	return f * p.Length / p.Bore * Density * v * v / 2
}

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

// Line is the one pipe that stands for several, one behind the other.
type Line struct {
	Length float64 // m, of all
	Speed  float64 // m/s, that gives the travelling time of all: ΣL / Σ(L/a)
	Area   float64 // m², that gives the inertia of all: ΣL / Σ(L/A)
	pipes  []Pipe
}

// Reduce makes one pipe of several; there must be one at least.
func Reduce(pipes ...Pipe) Line {
	length, time, inertia := 0.0, 0.0, 0.0
	for _, p := range pipes {
		length += p.Length
		time += p.Length / p.Speed()
		inertia += p.Length / p.area()
	}
	return Line{Length: length, Speed: length / time, Area: length / inertia, pipes: pipes}
}

// ReturnTime is how long a wave takes to the far end of the line and back, s.
func (l Line) ReturnTime() float64 { return ReturnTime(l.Length, l.Speed) }

// Impedance is the pressure that a change of the flow makes, ρ a / A, Pa s/m³: Joukowsky's rise by the flow.
func (l Line) Impedance() float64 { return Density * l.Speed / l.Area }

// friction is the pressure that the pipes take at a flow, Pa.
func (l Line) friction(flow float64) float64 {
	sum := 0.0
	for _, p := range l.pipes {
		sum += p.loss(flow)
	}
	return sum
}
