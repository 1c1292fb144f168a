package numeric

import "math"

// Atan returns the angle, in radians between -pi/2 and pi/2, whose tangent is
// x. The error is below 1e-15 of the value.
func Atan(x float64) float64 {
	if size := math.Abs(x); size > 1 { // what is left to a quarter turn
		return math.Copysign(math.Pi/2-atanWithinOne(1/size), x)
	}
	return atanWithinOne(x)
}

// Acos returns the angle, in radians between 0 and pi, whose cosine is x; no
// number when x is outside of -1 to 1. The error is below 1e-15 of the value:
// half the angle has the tangent sqrt((1-x)/(1+x)), in which nothing cancels.
func Acos(x float64) float64 {
	switch {
	case !(x >= -1 && x <= 1):
		return math.NaN()
	case x < 0:
		return math.Pi - 2*Atan(math.Sqrt((1+x)/(1-x)))
	}
	return 2 * Atan(math.Sqrt((1-x)/(1+x)))
}

// atanWithinOne halves the angle twice, tan(a/2) = t / (1 + sqrt(1 + t^2)),
// and sums the Taylor series; at tan(pi/16) the first term left out is 2e-18.
func atanWithinOne(x float64) float64 {
	for range 2 {
		x /= 1 + math.Sqrt(1+float64(x*x))
	}
	s := float64(x * x)
	p := -1.0 / 23
	for n := 21.0; n >= 3; n -= 2 {
		p = math.Copysign(1/n, -p) + float64(s*p)
	}
	return 4 * (x + float64(x*float64(s*p)))
}
