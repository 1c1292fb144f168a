package numeric

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Angles that every table of trigonometry has.
func TestArcsOfKnownAngles(t *testing.T) {
	for _, c := range []struct{ got, want float64 }{
		{Acos(1), 0}, {Acos(math.Sqrt(3) / 2), math.Pi / 6}, {Acos(math.Sqrt2 / 2), math.Pi / 4}, {Acos(0.5),
			math.Pi / 3},
		{Acos(0), math.Pi / 2}, {Acos(-0.5), 2 * math.Pi / 3}, {Acos(-1), math.Pi},
		{Atan(0), 0}, {Atan(1), math.Pi / 4}, {Atan(math.Sqrt(3)), math.Pi / 3}, {Atan(-1), -math.Pi / 4},
		{Atan(math.Inf(1)), math.Pi / 2}, {Atan(math.Inf(-1)), -math.Pi / 2},
	} {
		assert.InDelta(t, c.want, c.got, 1e-15)
	}
	for _, x := range []float64{1.0000001, -1.0000001, math.NaN(), math.Inf(1)} {
		assert.True(t, math.IsNaN(Acos(x)), "Acos(%v) is no angle", x)
	}
	assert.True(t, math.IsNaN(Atan(math.NaN())))
}

// The standard function is a difference from a quarter turn and loses small angles; the next test looks at those.
func TestAcosAgreesWithTheStandardOne(t *testing.T) {
	for _, x := range draws(20000, -1, 1) {
		require.InDelta(t, math.Acos(x), Acos(x), 1e-14, "Acos(%v)", x)
	}
}

// Small angles must not be lost in a difference of near equals: 1 - cos a = 2 sin²(a/2) is exact to the last bits.
func TestAcosOfSmallAngles(t *testing.T) {
	for _, angle := range []float64{1e-3, 0.01, 0.03, 0.1} {
		lost := 2 * Sin(angle/2) * Sin(angle/2)
		x := 1 - lost
		want := angle * (1 + (1-x-lost)/(2*lost)) // for the angle whose cosine was rounded to x
		require.InEpsilon(t, want, Acos(x), 1e-14, "the angle %v", angle)
	}
}
