package numeric

import "math"

// Log returns the natural logarithm of x, within one unit in the last place.
func Log(x float64) float64 {
	if special, ok := logSpecial(x); ok {
		return special
	}
	high, low := logSum(x)
	return high + low
}

// Log10 returns the decimal logarithm of x, within two units in the last place.
func Log10(x float64) float64 {
	if special, ok := logSpecial(x); ok {
		return special
	}
	high, low := logSum(x)
	return float64(high*(1/math.Ln10)) + float64(low*(1/math.Ln10))
}

func logSpecial(x float64) (float64, bool) {
	switch {
	case x > 0 && x <= math.MaxFloat64:
		return 0, false
	case x == 0:
		return math.Inf(-1), true
	case x < 0:
		return math.NaN(), true
	}
	return x, true // NaN and +Inf
}

// logSum returns ln x as a sum whose first part has few bits.
//
// x is 2^e c (1+r) with c the nearest multiple of 1/128, so |r| <= 1/256 and
// the eighth term of the series of ln(1+r) is below 1e-20.
func logSum(x float64) (high, low float64) {
	e, j, r := decompose(x)
	if j >= fold {
		e++
	}
	square := float64(r * r)
	p := float64(
		square * (-1.0/2 + float64(r*(1.0/3+float64(r*(-1.0/4+float64(r*(1.0/5+float64(r*(-1.0/6+float64(r*(1.0/7))))))))))),
	)
	high = float64(float64(e)*ln2High) + logStep[j]
	low = float64(float64(e)*ln2Low) + logRest[j]
	return high, r + (low + p)
}

// decompose writes a positive finite x as 2^e (1+j/128) (1+r), |r| <= 1/256.
func decompose(x float64) (e, j int, r float64) {
	bits := math.Float64bits(x)
	if bits < 1<<52 { // subnormal
		bits = math.Float64bits(x * 0x1p52)
		e = -52
	}
	e += int(bits>>52) - 1023
	j = int((bits&(1<<52-1) + 1<<(51-stepBits)) >> (52 - stepBits))
	mantissa := math.Float64frombits(bits&(1<<52-1) | 1023<<52)
	// The difference is exact (Sterbenz), so r keeps its relative accuracy.
	return e, j, float64((mantissa - (1 + float64(j)*(1.0/steps))) * stepInverse[j])
}

// Pow returns x to the power y, within a few units in the last place. A
// negative x with a y that is not an integer gives NaN; the sign of a zero is
// ignored.
func Pow(x, y float64) float64 {
	switch {
	case y == 0 || x == 1:
		return 1
	case math.IsNaN(x) || math.IsNaN(y):
		return math.NaN()
	case math.IsInf(y, 0):
		return powInfinite(math.Abs(x), y)
	case x < 0:
		return powNegative(x, y)
	case x == 0 || math.IsInf(x, 1):
		if (x == 0) == (y > 0) {
			return 0
		}
		return math.Inf(1)
	}
	high, low := logSum(x)
	product := float64(high * y)
	rest := math.FMA(high, y, -product) + float64(low*y)
	if math.Abs(product) > 800 {
		return expSum(product, 0)
	}
	sum := product + rest
	return expSum(sum, product-sum+rest)
}

func powInfinite(size, y float64) float64 {
	switch {
	case size == 1:
		return 1
	case (size > 1) == (y > 0):
		return math.Inf(1)
	}
	return 0
}

func powNegative(x, y float64) float64 {
	if y != math.Floor(y) && !math.IsInf(x, -1) {
		return math.NaN()
	}
	result := Pow(-x, y)
	if half := y / 2; y == math.Floor(y) && half != math.Floor(half) {
		return -result
	}
	return result
}
