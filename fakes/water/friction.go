package water

import (
	"math"

	"ullage/fakes/numeric"
)

// Flow is laminar up to the first Reynolds number and turbulent from the
// second on; the friction factor between is the cubic in the Reynolds number
// that meets both laws in value and slope.
const (
	laminarReynolds   = 2000
	turbulentReynolds = 4000
)

// friction is the law of Darcy and Weisbach for one pipe (or several side by
// side): loss = f Length/Bore v^2/2g.
type friction struct {
	law      Friction
	factor   float64 // loss = factor f flow |flow|
	reynolds float64 // Reynolds number of unit flow
	rough    float64 // relative roughness over 3.7
	haaland  float64 // rough^1.11, for the first guess
	// value and slope by the Reynolds number of turbulent friction at
	// turbulentReynolds.
	value, slope float64
}

// The power of the Reynolds number in the law of Swamee and Jain.
var swameeJainPower = numeric.NewPower(0.9)

func newFriction(pipe Pipe, constants Constants) *friction {
	count := float64(max(pipe.Count, 1))
	bore2 := float64(pipe.Bore * pipe.Bore)
	f := &friction{
		law:      constants.Friction,
		factor:   8 * pipe.Length / (math.Pi * math.Pi * constants.Gravity * bore2 * bore2 * pipe.Bore * count * count),
		reynolds: 4 / (math.Pi * pipe.Bore * constants.Viscosity * count),
		rough:    pipe.Roughness / pipe.Bore / 3.7,
	}
	f.haaland = numeric.Pow(f.rough, 1.11)
	f.value, f.slope = f.turbulent(turbulentReynolds)
	return f
}

// at returns loss/flow and the slope of the loss at a flow that is not
// negative.
func (f *friction) at(flow float64) (ratio, slope float64) {
	reynolds := float64(flow * f.reynolds)
	if reynolds <= laminarReynolds { // f = 64/Re, Hagen 1839 and Poiseuille 1840
		ratio = 64 * f.factor / f.reynolds
		return ratio, ratio
	}
	var value, change float64
	if reynolds >= turbulentReynolds {
		value, change = f.turbulent(reynolds)
	} else {
		value, change = f.between(reynolds)
	}
	scale := float64(f.factor * flow)
	ratio = float64(scale * value)
	return ratio, float64(2*ratio) + float64(float64(scale*change)*reynolds)
}

// turbulent returns the friction factor and its derivative by the Reynolds
// number.
func (f *friction) turbulent(reynolds float64) (value, change float64) {
	if f.law == SwameeJain {
		term := 5.74 / swameeJainPower.Of(reynolds)
		argument := f.rough + term
		log := numeric.Log10(argument)
		value = 0.25 / float64(log*log)
		return value, float64(value*float64(term*(1.8/math.Ln10))) / float64(reynolds*float64(argument*log))
	}
	return f.colebrookWhite(reynolds)
}

// colebrookWhite solves x + 2 log10(rough + b x) = 0 for x = 1/sqrt f, where
// b = 2.51/Re, by Halley's third-order steps from the explicit formula of
// Haaland (1983), which is within 2 %: the first step leaves 1e-6, the second
// nothing but rounding.
func (f *friction) colebrookWhite(reynolds float64) (value, change float64) {
	const c = 2 / math.Ln10
	b := 2.51 / reynolds
	x := float64(-0.9 * c * numeric.Log(f.haaland+6.9/reynolds))
	var steep float64
	for range 2 {
		argument := f.rough + float64(b*x)
		steep = b / argument
		miss := x + float64(c*numeric.Log(argument))
		slope := 1 + float64(c*steep)
		bend := float64(-c * float64(steep*steep))
		x -= float64(2*float64(miss*slope)) / (float64(2*float64(slope*slope)) - float64(miss*bend))
	}
	steep = b / (f.rough + float64(b*x))
	value = 1 / float64(x*x)
	// From the derivative of the equation: dx/dRe = c steep x / (Re (1 + c steep)).
	return value, float64(-2*float64(value*float64(c*steep))) / float64(reynolds*(1+float64(c*steep)))
}

// between returns the cubic (Hermite) and its derivative.
func (f *friction) between(reynolds float64) (value, change float64) {
	const width = turbulentReynolds - laminarReynolds
	const v0 = 64.0 / laminarReynolds
	const d0 = -v0 / laminarReynolds * width
	v1, d1 := f.value, float64(f.slope*width)
	t := (reynolds - laminarReynolds) / width
	c2 := float64(3*(v1-v0)) - 2*d0 - d1
	c3 := float64(2*(v0-v1)) + d0 + d1
	value = v0 + float64(t*(d0+float64(t*(c2+float64(c3*t)))))
	change = (d0 + float64(t*(float64(2*c2)+float64(3*float64(c3*t))))) / width
	return value, change
}
