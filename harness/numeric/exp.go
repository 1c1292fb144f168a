package numeric

import "math"

// ln2High has 29 bits after the point, so that its product with a count of steps
// is exact; ln2Low is the rest.
const (
	ln2High = 0x1.62e42fep-1
	ln2Low  = math.Ln2 - ln2High
)

// Exp returns e to the power x, within one unit in the last place.
func Exp(x float64) float64 { return expSum(x, 0) }

// expSum returns e^(x+rest) where rest is tiny against 1.
//
// x is k ln2/128 + r; e^r comes from its Taylor series, whose sixth term is
// below 1e-18 at the largest |r| of 0.0027.
func expSum(x, rest float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case x > 709.79:
		return math.Inf(1)
	case x < -745.2:
		return 0
	}
	k := math.Floor(float64(x*(steps/math.Ln2)) + 0.5)
	r := x - float64(k*(ln2High/steps)) - float64(k*(ln2Low/steps)) + rest
	square := float64(r * r)
	p := r + float64(square*(0.5+float64(r*(1.0/6+float64(r*(1.0/24+float64(r*(1.0/120))))))))
	j := int(k) & (steps - 1)
	t := exp2Step[j]
	return scale(t+(exp2Rest[j]+float64(t*p)), int(k)>>stepBits)
}

// scale returns x 2^e for x in [0.5, 4].
func scale(x float64, e int) float64 {
	switch {
	case e > 1000:
		return float64(x*0x1p1000) * powerOfTwo(e-1000)
	case e < -1000:
		return float64(x*0x1p-900) * powerOfTwo(e+900)
	}
	return x * powerOfTwo(e)
}

// powerOfTwo returns 2^e for a normal result.
func powerOfTwo(e int) float64 { return math.Float64frombits(uint64(e+1023) << 52) }

// Tanh returns the hyperbolic tangent of x, within two units in the last place.
//
// Small arguments use Lambert's continued fraction (1761).
func Tanh(x float64) float64 {
	size := math.Abs(x)
	switch {
	case math.IsNaN(x) || x == 0:
		return x
	case size > 22:
		return math.Copysign(1, x)
	case size > 0.5:
		return math.Copysign(1-2/(Exp(2*size)+1), x)
	}
	square := float64(x * x)
	fraction := 17.0
	for odd := 15.0; odd >= 1; odd -= 2 {
		fraction = odd + square/fraction
	}
	return x / fraction
}
