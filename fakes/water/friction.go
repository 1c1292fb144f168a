package water

import (
	"math"

	"ullage/harness/numeric"
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
	// value and slope by the Reynolds number of turbulent friction at
	// turbulentReynolds.
	value, slope float64
	last, first  known
}

// known is a solution of the law of Colebrook and White, from which others
// start.
type known struct {
	reynolds float64
	x        float64 // 1/sqrt f
	slope    float64 // of x by the logarithm of the Reynolds number
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
	x := -1.8 * numeric.Log10(numeric.Pow(f.rough, 1.11)+6.9/turbulentReynolds) // Haaland (1983), within 2 %
	f.solve(turbulentReynolds, x)
	f.value, f.slope = f.turbulent(turbulentReynolds)
	f.slope /= turbulentReynolds
	f.first = f.last
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
	return ratio, float64(2*ratio) + float64(scale*change)
}

// turbulent returns the friction factor and its derivative by the logarithm of
// the Reynolds number.
func (f *friction) turbulent(reynolds float64) (value, change float64) {
	if f.law == SwameeJain {
		term := 5.74 / swameeJainPower.Of(reynolds)
		argument := f.rough + term
		log := numeric.Log10(argument)
		value = 0.25 / float64(log*log)
		return value, float64(value*float64(term*(1.8/math.Ln10))) / float64(argument*log)
	}
	return f.colebrookWhite(reynolds)
}

// nearby is how far, in logarithms of the Reynolds number, the tangent at a
// known solution of the law of Colebrook and White serves instead of another:
// it bends by less than 0.2, so that the tangent is off by less than 1e-12.
const nearby = 3e-6

// colebrookWhite solves the law for x = 1/sqrt f, beginning with the tangent at
// the last solution, which Newton's method for the network brings ever closer.
func (f *friction) colebrookWhite(reynolds float64) (value, change float64) {
	// Twice the difference over the sum is the logarithm of the ratio to third
	// order.
	away := 2 * (reynolds - f.last.reynolds) / (reynolds + f.last.reynolds)
	x := f.last.x + float64(f.last.slope*away)
	if math.Abs(away) > nearby {
		x = f.solve(reynolds, x)
	}
	inverse := 1 / x
	value = float64(inverse * inverse)
	return value, -2 * float64(value*float64(f.last.slope*inverse))
}

// solve finds x + 2 log10(rough + b x) = 0 with b = 2.51/Re by third-order
// steps (Chebyshev's), one logarithm each. A step leaves less than a thousandth
// of its cube, so that a short one leaves 1e-10 at most, and the last ones of a
// solve, which hardly move, nothing but rounding.
func (f *friction) solve(reynolds, x float64) float64 {
	const c = 2 / math.Ln10
	const short = 4e-3
	inverse, wall := 1/reynolds, float64(f.rough*reynolds)
	for range 6 {
		sum := wall + float64(2.51*x)
		steep := c * 2.51 / sum               // slope of the logarithm's term
		flat := sum / (sum + float64(c*2.51)) // 1 / (1 + steep)
		step := float64((x + float64(c*numeric.Log(float64(sum*inverse)))) * flat)
		// it bends by -steep^2/c
		step += float64(float64(float64(float64(steep*steep)*(-0.5/c))*flat) * float64(step*step))
		x -= step
		f.last = known{reynolds, x, float64(float64(steep*x) * flat)}
		if math.Abs(step) < short {
			break
		}
	}
	return x
}

// between returns the cubic (Hermite) and its derivative by the logarithm of
// the Reynolds number.
func (f *friction) between(reynolds float64) (value, change float64) {
	const width = turbulentReynolds - laminarReynolds
	const v0 = 64.0 / laminarReynolds
	const d0 = -v0 / laminarReynolds * width
	v1, d1 := f.value, float64(f.slope*width)
	t := (reynolds - laminarReynolds) / width
	c2 := float64(3*(v1-v0)) - 2*d0 - d1
	c3 := float64(2*(v0-v1)) + d0 + d1
	value = v0 + float64(t*(d0+float64(t*(c2+float64(c3*t)))))
	change = float64((d0 + float64(t*(float64(2*c2)+float64(3*float64(c3*t))))) * (reynolds / width))
	return value, change
}
