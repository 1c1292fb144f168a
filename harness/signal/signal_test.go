package signal_test

import (
	"math"
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ullage/harness/signal"
)

func TestTimePrints(t *testing.T) {
	for text, at := range map[string]signal.Time{
		"00:00:00":                    0,
		"00:00:00.000000001":          1,
		"00:00:01.5":                  1500 * signal.Millisecond,
		"00:10:06":                    10*signal.Minute + 6*signal.Second,
		"23:59:59.999999999":          signal.Day - 1,
		"1d+00:00:00":                 signal.Day,
		"12d+03:04:05.25":             12*signal.Day + 3*signal.Hour + 4*signal.Minute + 5*signal.Second + 250*signal.Millisecond,
		"-00:00:01":                   -signal.Second,
		"never":                       signal.Never,
		"-106751d+23:47:16.854775807": -signal.Never,
	} {
		assert.Equal(t, text, at.String())
	}
}

// FromSeconds must round up to the nanosecond: the moment is never before the one meant, and less than a nanosecond
// after.
func TestFromSecondsRoundsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.Float64Range(-9.19e9, 9.19e9).Draw(t, "seconds")
		got := signal.FromSeconds(s)
		product := s * 1e9 // what a double makes of it
		want, _ := new(big.Float).SetFloat64(product).Int64()
		if float64(want) < product {
			want++
		}
		require.Equal(t, signal.Time(want), got, "%v s become another moment", s)
	})
	for _, s := range []float64{9.3e9, math.Inf(1), math.NaN()} {
		assert.Equal(t, signal.Never, signal.FromSeconds(s), "%v s are beyond the range", s)
	}
	assert.Equal(t, -signal.Never, signal.FromSeconds(math.Inf(-1)))
	assert.Equal(t, 1600*signal.Millisecond, signal.FromSeconds(1.6))
}

// Whole nanoseconds up to half a year survive the way to seconds and back, or come back a nanosecond later.
func TestSecondsAndBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := signal.Time(rapid.Int64Range(0, 1<<53).Draw(t, "at"))
		back := signal.FromSeconds(at.Seconds())
		require.GreaterOrEqual(t, back, at-1)
		require.LessOrEqual(t, back, at+2, "%v comes back as %v", int64(at), int64(back))
	})
}
