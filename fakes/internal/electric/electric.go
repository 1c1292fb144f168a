// Package electric models what carries current at the site: the supply with its battery and its capacitor, cables, the
// coils and motors at the controller's outputs, and how warm a coil gets. It is no API: it serves fakes/site.
//
// Alternating current is given by its root mean square, and a coil for it by its resistance and the reactance of its
// inductance, which is less while the plunger is out and leaves a gap in the iron. The controller's own current is taken
// to be in phase with the voltage. Left out are what a coil's inductance does within milliseconds, the losses in its
// iron, and the leakage of the transformer.
package electric

import (
	"math"

	"ullage/harness/numeric"
)

// FirstOrder is a quantity x that follows dx/dt = A - B x: the voltage of a capacitor under loads, the temperature of a
// body that loses heat in proportion to its excess. B is not negative; with B zero x runs straight.
type FirstOrder struct {
	X0   float64 // at its beginning
	A, B float64
}

// At is the quantity after some seconds: x = x∞ + (x0 - x∞) exp(-B t) with x∞ = A/B, the solution of the linear
// equation.
func (f FirstOrder) At(seconds float64) float64 {
	if f.B == 0 {
		return f.X0 + float64(f.A*seconds)
	}
	return f.Ends() + float64((f.X0-f.Ends())*numeric.Exp(-f.B*seconds))
}

// Ends is where the quantity goes in the end; an infinity where it runs straight for ever.
func (f FirstOrder) Ends() float64 {
	switch {
	case f.B > 0:
		return f.A / f.B
	case f.A == 0:
		return f.X0
	}
	return math.Inf(int(math.Copysign(1, f.A)))
}

// Reaches is after how many seconds the quantity comes to a value; +Inf when it never does.
func (f FirstOrder) Reaches(x float64) float64 {
	if (x-f.X0)*(f.Ends()-x) <= 0 {
		if x == f.X0 {
			return 0
		}
		return math.Inf(1)
	}
	if f.B == 0 {
		return (x - f.X0) / f.A
	}
	return numeric.Log((f.X0-f.Ends())/(x-f.Ends())) / f.B
}

// Straight is for how many seconds the quantity is within a tolerance of a straight line from where it is: +Inf where
// it runs straight, or stands. Near its end it counts as there: Settles then says so.
func (f FirstOrder) Straight(tolerance float64) float64 {
	if f.B == 0 || f.A == 0 && f.X0 == 0 {
		return math.Inf(1)
	}
	return math.Sqrt(8*tolerance/math.Abs(f.X0-f.Ends())) / f.B // chord of a curve: |x″| t²/8
}

// Settled reports whether the quantity is within a tolerance of its end.
func (f FirstOrder) Settled(tolerance float64) bool { return math.Abs(f.X0-f.Ends()) <= tolerance }
