package numeric

import "math"

// A quarter turn in three parts; the first two have 33 and 34 bits, so that
// their products with the number of quarter turns are exact up to 2^19.
const (
	quarterHigh = 0x1.921fb544p+0
	quarterMid  = 0x1.0b4611a6p-34
	quarterLow  = math.Pi/2 - quarterHigh - quarterMid
)

// Sin returns the sine of x radians. For |x| up to 500,000 the error is below
// 2e-16; beyond a million it grows with |x|.
func Sin(x float64) float64 {
	r, quarter, ok := reduce(x)
	if !ok {
		return math.NaN()
	}
	switch quarter {
	case 0:
		return sinSeries(r)
	case 1:
		return cosSeries(r)
	case 2:
		return -sinSeries(r)
	}
	return -cosSeries(r)
}

// Cos returns the cosine of x radians, with the accuracy of Sin.
func Cos(x float64) float64 {
	r, quarter, ok := reduce(x)
	if !ok {
		return math.NaN()
	}
	switch quarter {
	case 0:
		return cosSeries(r)
	case 1:
		return -sinSeries(r)
	case 2:
		return -cosSeries(r)
	}
	return sinSeries(r)
}

// reduce takes the nearest whole number of quarter turns from x.
func reduce(x float64) (r float64, quarter int, ok bool) {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0, 0, false
	}
	k := math.Floor(float64(x*(2/math.Pi)) + 0.5)
	r = x - float64(k*quarterHigh) - float64(k*quarterMid) - float64(k*quarterLow)
	return r, int(k-float64(4*math.Floor(k/4))) & 3, true
}

// sinSeries is the Taylor series; at pi/4 the first term left out is 1e-19.
func sinSeries(r float64) float64 {
	s := float64(r * r)
	p := 1.0 / 355687428096000 // 1/17!
	for _, c := range [...]float64{-1.0 / 1307674368000, 1.0 / 6227020800, -1.0 / 39916800, 1.0 / 362880, -1.0 / 5040,
		1.0 / 120, -1.0 / 6} {
		p = c + float64(s*p)
	}
	return r + float64(r*float64(s*p))
}

// cosSeries is the Taylor series; at pi/4 the first term left out is 2e-18.
func cosSeries(r float64) float64 {
	s := float64(r * r)
	p := 1.0 / 20922789888000 // 1/16!
	for _, c := range [...]float64{-1.0 / 87178291200, 1.0 / 479001600, -1.0 / 3628800, 1.0 / 40320, -1.0 / 720,
		1.0 / 24} {
		p = c + float64(s*p)
	}
	return 1 - (float64(0.5*s) - float64(s*float64(s*p)))
}
