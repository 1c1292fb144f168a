package device

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"ullage/harness/signal"
)

// The guess only saves work: wherever it lies, the search finds the same moment.
func TestFirstPastDoesNotDependOnTheGuess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := signal.Time(rapid.Int64Range(0, 1e12).Draw(t, "from"))
		to := from + signal.Time(rapid.Int64Range(1, 1e12).Draw(t, "length"))
		want := from + signal.Time(rapid.Int64Range(1, int64(to-from)).Draw(t, "moment"))
		guess := rapid.OneOf(rapid.Just(want), rapid.Just(want-1), rapid.Just(want+3), rapid.Just(signal.Never),
			rapid.Just(-signal.Never),
			rapid.Custom(func(t *rapid.T) signal.Time {
				return signal.Time(rapid.Int64Range(0, 3e12).Draw(t,
					"at"))
			})).Draw(t, "guess")
		got := FirstPast(from, to, guess, func(at signal.Time) bool { return at >= want })
		assert.Equal(t, want, got, "a crossing is put at the wrong nanosecond")
	})
}

func TestReachesIsTheRootOfTheParabola(t *testing.T) {
	for _, c := range []struct{ q0, q1, after float64 }{
		{1e-3, 1e-3, 7}, {1e-3, 2e-3, 3}, {1e-3, -1e-3, 2}, {-1e-3, -2e-3, 9}, {0, 1e-3, 5}, {-1e-3, 5e-4, 1},
	} {
		const dt = 10.0
		amount := c.q0*c.after + (c.q1-c.q0)/dt*c.after*c.after/2
		assert.InDelta(t, c.after, Reaches(amount, c.q0, c.q1, dt), 1e-9, "flow from %g to %g m³/s", c.q0, c.q1)
	}
	assert.False(t, math.IsInf(Reaches(0, 1, 1, 1), 0))
}
