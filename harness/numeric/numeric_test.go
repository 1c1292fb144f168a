package numeric

import (
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ulps is the distance of got from want in units in the last place of want.
func ulps(got, want float64) float64 {
	if got == want || math.IsNaN(got) && math.IsNaN(want) {
		return 0
	}
	unit := math.Nextafter(math.Abs(want), math.Inf(1)) - math.Abs(want)
	return math.Abs(got-want) / unit
}

func draws(n int, low, high float64) []float64 {
	random := rand.New(rand.NewPCG(1, 2))
	xs := make([]float64, n)
	for i := range xs {
		xs[i] = low + random.Float64()*(high-low)
	}
	return xs
}

// The standard math package, itself within one unit in the last place, is the
// outside check; powers are also checked against math/big below.
func TestFunctionsAgreeWithTheStandardOnes(t *testing.T) {
	tests := []struct {
		name      string
		got, want func(float64) float64
		low, high float64
		limit     float64
	}{
		{"Exp", Exp, math.Exp, -700, 708, 2},
		{"Exp near zero", Exp, math.Exp, -1, 1, 2},
		{"Log", Log, math.Log, 0, 1e6, 2},
		{"Log near one", Log, math.Log, 0.5, 2, 2},
		{"Log nearer to one", Log, math.Log, 0.9999, 1.0001, 2},
		{"Log10", Log10, math.Log10, 0, 1e6, 4},
		{"Sin", Sin, math.Sin, -10, 10, 2},
		{"Cos", Cos, math.Cos, -10, 10, 2},
		{"Tanh", Tanh, math.Tanh, -3, 3, 4},
		{"Tanh wide", Tanh, math.Tanh, -30, 30, 4},
		{"Atan", Atan, math.Atan, -3, 3, 4},
		{"Atan wide", Atan, math.Atan, -1e4, 1e4, 4},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			for _, x := range draws(20000, tt.low, tt.high) {
				got, want := tt.got(x), tt.want(x)
				require.LessOrEqual(t, ulps(got, want), tt.limit, "%s(%v) = %v, the standard function gives %v",
					tt.name, x, got, want)
			}
		})
	}
}

func TestSinOfLargeArguments(t *testing.T) {
	for _, x := range draws(20000, -5e5, 5e5) {
		require.InDelta(t, math.Sin(x), Sin(x), 3e-16, "Sin(%v)", x)
		require.InDelta(t, math.Cos(x), Cos(x), 3e-16, "Cos(%v)", x)
	}
}

func TestPowAgreesWithTheStandardOne(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for range 50000 {
		x := Exp(random.Float64()*40 - 20)
		y := random.Float64()*50 - 25
		got, want := Pow(x, y), math.Pow(x, y)
		require.InEpsilon(t, want, got, 4e-15, "Pow(%v, %v)", x, y) // the standard one is off by more than ours
	}
}

// Whole powers by math/big, correct to 200 bits.
func TestPowersAgreeWithBigNumbers(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	for _, n := range []int{2, 3, 5, 20, 25} {
		power := NewPower(float64(n))
		root := NewPower(1 / float64(n))
		for range 3000 {
			x := Exp(random.Float64()*16 - 8)
			exact := new(big.Float).SetPrec(200).SetFloat64(1)
			for range n {
				exact.Mul(exact, new(big.Float).SetFloat64(x))
			}
			assert.Less(t, relativeError(Pow(x, float64(n)), exact), 2e-16, "Pow(%v, %d)", x, n)
			assert.Less(t, relativeError(power.Of(x), exact), 1e-15, "table power %d of %v", n, x)

			y := root.Of(x) // y^n must give x back: the relative error grows n times
			back := new(big.Float).SetPrec(200).SetFloat64(1)
			for range n {
				back.Mul(back, new(big.Float).SetFloat64(y))
			}
			assert.Less(t, relativeError(x, back)/float64(n), 1e-15, "table root %d of %v", n, x)
		}
	}
}

func relativeError(got float64, exact *big.Float) float64 {
	difference := new(big.Float).SetPrec(200).SetFloat64(got)
	difference.Sub(difference, exact).Quo(difference, exact)
	result, _ := difference.Float64()
	return math.Abs(result)
}

func TestPowerOfAnExponent(t *testing.T) {
	for _, exponent := range []float64{0.852, 1.852, 0.9, 2.0 / 3, 1.5, 0.05, 1.85185, -0.5, -10, 12.5} {
		power := NewPower(exponent)
		assert.Equal(t, exponent, power.Exponent())
		for _, size := range draws(20000, -50, 50) {
			x := Exp(size)
			want := Pow(x, exponent)
			require.InEpsilon(t, want, power.Of(x), 1.5e-15, "%v to the %v", x, exponent)
		}
		for _, x := range []float64{0x1p-70, 0x1p64, 0x1p-66, 1, 2, math.Nextafter(2, 0), math.Nextafter(1, 0)} {
			require.InEpsilon(t, Pow(x, exponent), power.Of(x), 1.5e-15, "%v to the %v", x, exponent)
		}
	}
}

func TestPowerSlopeIsTheDerivative(t *testing.T) {
	power := NewPower(1.852)
	value, slope := power.WithSlope(3.7)
	assert.InEpsilon(t, math.Pow(3.7, 1.852), value, 1e-14)
	assert.InEpsilon(t, 1.852*math.Pow(3.7, 0.852), slope, 1e-14)
}

func TestPowerRefusesExponentsItCannotTabulate(t *testing.T) {
	for _, exponent := range []float64{26, -26, math.NaN(), math.Inf(1)} {
		assert.Panics(t, func() { NewPower(exponent) }, "exponent %v", exponent)
	}
}

func TestSpecialValues(t *testing.T) {
	infinity, nan := math.Inf(1), math.NaN()
	values := []float64{0, math.Copysign(0, -1), 1, -1, 2, -2, 0.5, -0.5, 3, -3, infinity, -infinity, nan, 5e-324,
		math.MaxFloat64, 709, 800, -746}
	for _, x := range values {
		assertSame(t, "Exp", Exp(x), math.Exp(x), x)
		if x != 5e-324 { // the standard ones err here on some processors
			assertSame(t, "Log", Log(x), math.Log(x), x)
			assertSame(t, "Log10", Log10(x), math.Log10(x), x)
		}
		assertSame(t, "Tanh", Tanh(x), math.Tanh(x), x)
		if math.Abs(x) < 1e6 || math.IsInf(x, 0) || math.IsNaN(x) {
			assertSame(t, "Sin", Sin(x), math.Sin(x), x)
			assertSame(t, "Cos", Cos(x), math.Cos(x), x)
		}
		for _, y := range values {
			got, want := Pow(x, y), math.Pow(x, y)
			if want == 0 || x == 0 { // the sign of zero is not kept
				got, want = math.Abs(got), math.Abs(want)
			}
			assertSame(t, "Pow", got, want, x, y)
		}
	}
	assert.InEpsilon(t, -1074*math.Ln2, Log(5e-324), 1e-15)
	assert.Zero(t, NewPower(1.852).Of(0))
	assert.True(t, math.IsNaN(NewPower(1.852).Of(nan)))
	assert.Equal(t, infinity, NewPower(0.5).Of(infinity))
}

func assertSame(t *testing.T, name string, got, want float64, at ...float64) {
	t.Helper()
	if math.IsInf(want, 0) || math.IsNaN(want) || want == 0 {
		assert.True(t, got == want || math.IsNaN(got) && math.IsNaN(want), "%s%v = %v, want %v", name, at, got, want)
		return
	}
	assert.InEpsilon(t, want, got, 1e-14, "%s%v", name, at)
}

// Bits that any processor must give: a change here is a change of every
// recorded result.
func TestBitsAreTheSameEverywhere(t *testing.T) {
	sum := uint64(14695981039346656037)
	mix := func(x float64) { sum = (sum ^ math.Float64bits(x)) * 1099511628211 }
	power := NewPower(0.852)
	for i := range 20000 {
		x := 1e-4 + float64(float64(i)*0.00123)
		mix(Exp(x))
		mix(Log(x))
		mix(Log10(x))
		mix(Sin(x))
		mix(Cos(x))
		mix(Tanh(x))
		mix(Pow(x, 1.7))
		mix(power.Of(x))
	}
	assert.Equal(t, uint64(0xcff959131a637a9), sum, "hash of results")
}

var sink float64

func BenchmarkFunctions(b *testing.B) {
	power := NewPower(0.852)
	for _, f := range []struct {
		name string
		of   func(float64) float64
	}{
		{"Exp", Exp}, {"Log", Log}, {"Sin", Sin}, {"Tanh", Tanh}, {"Power", power.Of},
		{"Pow", func(x float64) float64 { return Pow(x, 0.852) }},
	} {
		b.Run(f.name, func(b *testing.B) {
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				sink = f.of(0.001 + float64(i&1023)*0.01)
			}
		})
	}
}
