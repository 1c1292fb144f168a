package numeric

import "math/big"

// steps is how many equal steps the tables divide a factor of two into.
const (
	stepBits = 7
	steps    = 1 << stepBits
)

// From fold on, a mantissa is counted as below one (half the value, one power
// of two more), so that logarithms of numbers just below one do not cancel.
const fold = 53 // 1 + 53/128 = 1.4141

var (
	// exp2Step[j] is 2^(j/steps); exp2Rest[j] is what rounding took from it.
	exp2Step, exp2Rest [steps]float64
	// stepInverse[j] is 1/(1 + j/steps); twice as long as needed, so that a
	// masked index needs no bounds check.
	stepInverse [2 * steps]float64
	// logStep[j] + logRest[j] is ln(1 + j/steps), less ln 2 from fold on;
	// logStep has at most 38 bits after the point, so that adding a
	// multiple of ln2High is exact.
	logStep, logRest [steps + 1]float64
)

// tablePrecision is the working precision of the tables, in bits.
const tablePrecision = 140

func init() {
	root := wide(2)
	for range stepBits {
		root.Sqrt(root)
	}
	power := wide(1)
	for j := range exp2Step {
		exp2Step[j], exp2Rest[j] = split(power)
		power.Mul(power, root)
	}

	log := wide(0)
	for j := range logStep {
		stepInverse[j] = steps / float64(steps+j)
		if j > 0 {
			log.Add(log, logRatio(steps+j-1))
		}
		value := wide(0).Set(log)
		if j >= fold {
			value.Sub(value, logTwo())
		}
		logStep[j], logRest[j] = splitFixed(value)
	}
}

func wide(x float64) *big.Float { return new(big.Float).SetPrec(tablePrecision).SetFloat64(x) }

// logRatio returns ln((n+1)/n) = 2 artanh(1/(2n+1)) from its series.
func logRatio(n int) *big.Float {
	t := wide(0).Quo(wide(1), wide(float64(2*n+1)))
	square := wide(0).Mul(t, t)
	sum, power := wide(0), wide(0).Set(t)
	for k := 1; power.MantExp(nil) > -tablePrecision; k += 2 {
		sum.Add(sum, wide(0).Quo(power, wide(float64(k))))
		power.Mul(power, square)
	}
	return sum.Mul(sum, wide(2))
}

// logTwo returns ln 2 as the sum of ln(4/3) and ln(3/2).
func logTwo() *big.Float { return wide(0).Add(logRatio(3), logRatio(2)) }

// split returns the nearest float64 and the nearest float64 of the rest.
func split(x *big.Float) (high, low float64) {
	high, _ = x.Float64()
	low, _ = wide(0).Sub(x, wide(high)).Float64()
	return high, low
}

// splitFixed is split with high a multiple of 2^-38.
func splitFixed(x *big.Float) (high, low float64) {
	const scale = 1 << 38
	scaled, _ := wide(0).Mul(x, wide(scale)).Int64()
	high = float64(scaled) / scale
	low, _ = wide(0).Sub(x, wide(high)).Float64()
	return high, low
}
